// The test programs' main, compiled once because it takes long.
#if GEARWHY_CATCH_MAJOR >= 3
#include <catch2/catch_session.hpp>
int main(int argc, char* argv[]) { return Catch::Session().run(argc, argv); }
#else
// g++ 12 with sanitizers takes the std::regex inside Catch2 for uninitialized.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
#endif
