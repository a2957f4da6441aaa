// Pictures and pages as text: measured, broken, escaped.
#include "engine/render/svg.h"

#include "engine/render/html.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("text is as wide as its letters") {
  // Advance widths of DejaVu Sans, in 2048 units: i 569, M 1767, space 651.
  CHECK(TextWidth("i", 2048) == Approx(569).epsilon(0.002));
  CHECK(TextWidth("M", 2048) == Approx(1767).epsilon(0.002));
  CHECK(TextWidth("M i", 2048) == Approx(1767 + 651 + 569).epsilon(0.002));
  CHECK(TextWidth("M", 10, true) > TextWidth("M", 10));
  CHECK(TextWidth("漢", 10) > TextWidth("M", 10));
}

TEST_CASE("no line is wider than it may be, whatever the words") {
  const std::string text =
      "short words, and Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamter";
  for (double width = 20; width < 400; width += 7) {
    std::string together;
    for (const std::string& line : WrapToWidth(text, width, 10)) {
      INFO(width << ": " << line);
      CHECK(TextWidth(line, 10) <= width);
      together += line;
    }
    std::string all = text;
    all.erase(std::remove(all.begin(), all.end(), ' '), all.end());
    together.erase(std::remove(together.begin(), together.end(), ' '), together.end());
    CHECK(together == all);
  }
  CHECK(WrapToWidth("", 50, 10) == std::vector<std::string>{""});
  CHECK(WrapToWidth("W", 1, 10) == std::vector<std::string>{"W"});
}

TEST_CASE("labels beside a scale keep their order and their distance") {
  const std::vector<double> got = Apart({50, 10, 52, 51}, 12, 0, 60);
  CHECK(got[1] < got[0]);
  CHECK(got[0] + 12 <= got[3] + 1e-9);
  CHECK(got[3] + 12 <= got[2] + 1e-9);
  CHECK(got[2] <= 60);
  CHECK(Apart({5, 40}, 12, 0, 60) == std::vector<double>{5, 40});
}

TEST_CASE("what a file says stays text where it lands") {
  CHECK(EscapeHtml("<b> & \"x\" 'y'") == "&lt;b&gt; &amp; &quot;x&quot; &#39;y&#39;");
  CHECK(EscapeHtml("a\x1b[2J\xe2\x80\xae"
                   "b") == "a\\x1b[2J\\u202eb");
  Svg svg("id", "</title><script>", "a\nb");
  svg.Text(1, 2, "</text><a href='x'>", 10);
  const std::string picture = svg.Finish(10, 10);
  CHECK(picture.find("<script") == std::string::npos);
  CHECK(picture.find("<a ") == std::string::npos);
  CHECK(picture.find("&lt;/text&gt;&lt;a href=&#39;x&#39;&gt;") != std::string::npos);
}

TEST_CASE("marks before a paragraph become lists, and boxes to tick") {
  HtmlPage page(3);
  page.Heading("A & B");
  page.Paragraph(" · ", "one");
  page.Paragraph(" _ ", "two");
  page.Paragraph(" x ", "three");
  page.Paragraph("   ", "four");
  page.Pair("  ", "left", "right");
  CHECK(page.Html() ==
        "<h3>A &amp; B</h3>\n"
        "<ul class=\"marked\">\n"
        "<li><span class=\"mark\">·</span> one</li>\n"
        "<li class=\"tick\"><label><input type=\"checkbox\"/> two</label></li>\n"
        "<li class=\"tick\"><label><input type=\"checkbox\" checked=\"checked\"/> three</label></li>\n"
        "</ul>\n"
        "<p>four</p>\n"
        "<p class=\"pair\"><span>left</span> <b>right</b></p>\n");
}

}  // namespace
}  // namespace gearwhy
