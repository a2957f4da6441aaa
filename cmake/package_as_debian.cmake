# Run by cpack between laying out the files and packing them: what Debian's policy asks of them. Manual pages are
# compressed, the licence is called copyright, a changelog tells of this version, and zsh finds completions of packages in
# a folder of their own.
file(GLOB_RECURSE files ${CPACK_TEMPORARY_DIRECTORY}/*)
foreach(path ${files})
  if(path MATCHES "/share/man/man1/[^/]*[.]1$")
    execute_process(COMMAND gzip -9n ${path} COMMAND_ERROR_IS_FATAL ANY)
  elseif(path MATCHES "/share/doc/gearwhy/LICENSE$")
    string(REGEX REPLACE "LICENSE$" copyright copyright ${path})
    file(RENAME ${path} ${copyright})
    string(REGEX REPLACE "LICENSE$" changelog changelog ${path})
    execute_process(COMMAND date -R -u -d ${CPACK_GEARWHY_DATE} OUTPUT_VARIABLE date OUTPUT_STRIP_TRAILING_WHITESPACE
                    COMMAND_ERROR_IS_FATAL ANY)
    file(WRITE ${changelog} "gearwhy (${CPACK_PACKAGE_VERSION}) unstable; urgency=medium

  * Version ${CPACK_PACKAGE_VERSION}.

 -- ${CPACK_PACKAGE_CONTACT}  ${date}
")
    execute_process(COMMAND gzip -9n ${changelog} COMMAND_ERROR_IS_FATAL ANY)
  elseif(path MATCHES "/share/zsh/site-functions/_gearwhy$")
    string(REGEX REPLACE "site-functions/_gearwhy$" vendor-completions vendor ${path})
    file(MAKE_DIRECTORY ${vendor})
    file(RENAME ${path} ${vendor}/_gearwhy)
    string(REGEX REPLACE "/_gearwhy$" "" emptied ${path})
    file(REMOVE_RECURSE ${emptied})
  endif()
endforeach()
