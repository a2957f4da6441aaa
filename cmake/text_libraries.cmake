# The libraries behind engine/text, found by the build and by the installed package alike (its config includes this
# file), under names that do not change from version to version.
find_package(yaml-cpp REQUIRED)
add_library(gearwhy::yaml INTERFACE IMPORTED)
if(TARGET yaml-cpp::yaml-cpp)  # 0.8 and later
  set_property(TARGET gearwhy::yaml PROPERTY INTERFACE_LINK_LIBRARIES yaml-cpp::yaml-cpp)
else()                         # 0.7
  set_property(TARGET gearwhy::yaml PROPERTY INTERFACE_LINK_LIBRARIES yaml-cpp)
endif()

find_library(NETTLE_LIBRARY nettle REQUIRED)
find_path(NETTLE_INCLUDE_DIR nettle/sha2.h REQUIRED)
add_library(gearwhy::nettle INTERFACE IMPORTED)
set_target_properties(gearwhy::nettle PROPERTIES INTERFACE_LINK_LIBRARIES ${NETTLE_LIBRARY}
                      INTERFACE_INCLUDE_DIRECTORIES ${NETTLE_INCLUDE_DIR})

find_library(UTF8PROC_LIBRARY utf8proc REQUIRED)
find_path(UTF8PROC_INCLUDE_DIR utf8proc.h REQUIRED)
add_library(gearwhy::utf8proc INTERFACE IMPORTED)
set_target_properties(gearwhy::utf8proc PROPERTIES INTERFACE_LINK_LIBRARIES ${UTF8PROC_LIBRARY}
                      INTERFACE_INCLUDE_DIRECTORIES ${UTF8PROC_INCLUDE_DIR})

find_library(STEMMER_LIBRARY stemmer REQUIRED)
find_path(STEMMER_INCLUDE_DIR libstemmer.h REQUIRED)
add_library(gearwhy::stemmer INTERFACE IMPORTED)
set_target_properties(gearwhy::stemmer PROPERTIES INTERFACE_LINK_LIBRARIES ${STEMMER_LIBRARY}
                      INTERFACE_INCLUDE_DIRECTORIES ${STEMMER_INCLUDE_DIR})

find_package(Threads REQUIRED)
