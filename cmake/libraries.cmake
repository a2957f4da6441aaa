# The libraries we stand on, all from the system's packages, behind targets of our own so that a change of
# their target names between versions is settled here.
#   yaml-cpp       the YAML scanner and parser (engine/text only)
#   fmt            formatting of messages and reports
#   Eigen          linear algebra of the gearsets (engine/drivetrain only)
#   nlohmann-json  the JSON renderer (engine/render only)
#   CLI11          the command line (cli only)
#   libedit        editing of an answer's line and going back to earlier ones (cli only); BSD licence
#   nettle         SHA-256 of the rulebook's files (engine/text only): a small, maintained library that every
#                  Debian machine has packages of, and a hash that `sha256sum` can check
#   utf8proc       how many columns a character takes on a terminal (engine/text only): the tables of Unicode kept
#                  up to date by others; MIT licence
#   cereal         rulebooks and units as bytes, for the cache (engine/files only): well kept, headers alone, with readers and
#                  writers of the standard containers, so that ours are one line a struct; BSD licence
#   libstemmer     words without their endings (engine/text only), so that a complaint in plain words is compared with
#                  the rulebook's: Snowball's English stemmer, which has the exceptions a list of our own lacks; BSD licence
include(${CMAKE_CURRENT_LIST_DIR}/text_libraries.cmake)
find_package(fmt REQUIRED)
find_package(Eigen3 REQUIRED NO_MODULE)
find_package(nlohmann_json REQUIRED)
find_package(CLI11 REQUIRED)
find_package(cereal REQUIRED)

find_library(LIBEDIT_LIBRARY edit REQUIRED)
find_path(LIBEDIT_INCLUDE_DIR histedit.h REQUIRED)
add_library(gearwhy_edit INTERFACE)
target_link_libraries(gearwhy_edit INTERFACE ${LIBEDIT_LIBRARY})
target_include_directories(gearwhy_edit SYSTEM INTERFACE ${LIBEDIT_INCLUDE_DIR})

add_library(gearwhy_warnings INTERFACE)
target_compile_options(gearwhy_warnings INTERFACE -Wall -Wextra -Wpedantic -Wconversion
                       $<$<BOOL:${GEARWHY_STRICT}>:-Werror>)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # g++ 12 warns of overlapping copies inside std::string operator+ where there are none (GCC bug 105651).
  target_compile_options(gearwhy_warnings INTERFACE -Wno-restrict)
endif()
