// Catch2 version 2 or 3 under one name.
#pragma once

#if GEARWHY_CATCH_MAJOR >= 3
#include <catch2/catch_all.hpp>
using Catch::Approx;
using Catch::Matchers::ContainsSubstring;
#else
#include <catch2/catch.hpp>
inline auto ContainsSubstring(const std::string& text) { return Catch::Matchers::Contains(text); }
#endif
