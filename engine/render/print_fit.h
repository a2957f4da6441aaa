// Print fit: how closely a sheet is set so that it prints on two pages.
//
// In: the body of a page. Out: a class of the style, with which it takes at most two pages of Letter, the shorter of the
// two papers, or of A4; empty where it does so as it is.
// Method. The height is estimated as a sum over what stands in the page: its characters, pictures, rows and headings, with
// weights fitted to what a browser made of the sheets of the shipped cases in a wide face (within some 90 of
// 2000 pixels). The browser test (tests/sheet/) sees to it that what is said here comes out.
// Cost: one pass over the text. Errors: none.
#pragma once

#include <string_view>

namespace gearwhy {

std::string_view PrintFit(std::string_view body);

}  // namespace gearwhy
