// The style of the sheets: one text for all pages, with nothing of a file in it.
//
// It reads on a phone and on a wide screen, light and dark as the reader has set, and prints in black on two
// pages of A4 or Letter at most. What a colour tells, a shape, a stroke or a word tells as well.
#pragma once

namespace gearwhy {

extern const char* const kSheetStyle;

}  // namespace gearwhy
