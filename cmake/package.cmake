# The Debian package of the program, with its rulebook, cases, manual pages and completions: `cpack -G DEB` in a build
# folder, or cmake/package.sh. Where its files go is what the install rules say; what Debian wants otherwise is done by
# package_as_debian.cmake. What it depends on is what dpkg-shlibdeps finds the program to be linked with.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_VENDOR "the gearwhy developers")
set(CPACK_PACKAGE_CONTACT "the gearwhy developers <gearwhy@localhost.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "finds why an automatic transmission failed")
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION
    "For those who rebuild hydraulic automatic transmissions. gearwhy takes what is
known of the unit, its history, the complaint and every check made so far, and
ranks the parts that may have failed, each with its chance, with what speaks
for and against it, and with the chain of reasoning behind it. It tells causes
from their consequences, and names the check that would settle most for the
time it costs.

It comes with a rulebook, units and cases in plain files, over which a shop can
lay its own. The vehicle maker's procedure, local codes and licensed practice
come first.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME gearwhy)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS bash-completion)
set(CPACK_GEARWHY_DATE ${GEARWHY_DATE})
set(CPACK_PRE_BUILD_SCRIPTS ${PROJECT_SOURCE_DIR}/cmake/package_as_debian.cmake)
# Whatever the umask of whoever packs it.
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
                                                WORLD_READ WORLD_EXECUTE)
include(CPack)
