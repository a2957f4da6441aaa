# Holds pages against what every sheet promises: page_check.py FILE...
#
# For each file a line: its name and `good`, or its name and the first thing that is wrong. The pages are read by Python's own XML
# parser (expat), and their text once more by its HTML parser, neither of which is ours.
import html.parser
import re
import sys
import xml.etree.ElementTree as tree

XHTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"
# Nothing else may stand in a page, whatever a file holds.
ELEMENTS = {
    XHTML: {
        "html": {"lang"}, "head": set(), "meta": {"charset", "http-equiv", "content", "name"}, "title": set(), "style": set(),
        "body": {"class"}, "header": set(), "main": set(), "footer": set(), "section": {"class", "aria-labelledby"},
        "h1": set(), "h2": {"id"}, "h3": set(), "p": {"class"}, "b": set(), "span": {"class"}, "a": {"href"},
        "div": {"class", "tabindex", "role", "aria-label"}, "dl": {"class"}, "dt": set(), "dd": {"class"},
        "ol": {"class"}, "ul": {"class"}, "li": {"class"}, "label": set(), "input": {"type", "checked"},
        "figure": set(), "figcaption": set(), "table": {"class"}, "caption": set(), "thead": set(), "tbody": set(),
        "tr": set(), "th": {"scope", "class"}, "td": {"class"},
    },
    SVG: {
        "svg": {"class", "viewBox", "width", "height", "role", "aria-labelledby"}, "title": {"id"}, "desc": {"id"},
        "rect": {"class", "x", "y", "width", "height", "rx"}, "line": {"class", "x1", "y1", "x2", "y2"},
        "path": {"class", "d", "stroke-width"}, "circle": {"class", "cx", "cy", "r"},
        "text": {"class", "x", "y", "font-size", "text-anchor"},
    },
}
POLICY = ("default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'")


class Wrong(Exception):
    pass


def want(holds, what):
    if not holds:
        raise Wrong(what)


def only_known(element):
    space, name = re.fullmatch(r"(\{.*\})(.*)", element.tag).groups()
    want(space in ELEMENTS and name in ELEMENTS[space], f"an element <{element.tag}>")
    more = set(element.attrib) - ELEMENTS[space][name]
    want(not more, f"<{name}> has the attributes {sorted(more)}")
    for part in re.split(r"\s+", element.get("class", "")):
        want(re.fullmatch(r"[a-z]*", part), f"a class {part!r}")
    if name == "a":
        want(re.fullmatch(r"\./[A-Za-z0-9._%-]+", element.get("href")), f"a link to {element.get('href')!r}")


def check_names(root):
    ids = [element.get("id") for element in root.iter() if element.get("id") is not None]
    want(len(ids) == len(set(ids)), "an id that is there twice")
    for element in root.iter():
        for name in element.get("aria-labelledby", "").split():
            want(name in ids, f"no id {name}")
    for svg in root.iter(SVG + "svg"):
        want(svg.get("role") == "img", "a picture that says nothing of being one")
        want(len(svg) >= 2 and svg[0].tag == SVG + "title" and svg[0].text, "a picture without a title")
        want(svg[1].tag == SVG + "desc", "a picture without a description")


def check_order(root):
    level = 0
    for element in root.iter():
        heading = re.fullmatch(re.escape(XHTML) + r"h([1-6])", element.tag)
        if heading:
            now = int(heading[1])
            want(now <= level + 1, f"a heading of level {now} under one of level {level}")
            want("".join(element.itertext()).strip(), "an empty heading")
            level = now
    want(len(list(root.iter(XHTML + "h1"))) == 1, "not one heading of level 1")
    for head in root.iter(XHTML + "th"):
        want(head.get("scope") in ("col", "row"), "a head of a table without a scope")


class Texts(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.texts = []
        self.tags = 0

    def handle_starttag(self, tag, attributes):
        self.tags += 1

    def handle_data(self, data):
        self.texts.append(data)


def check(path):
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read()
    want(text.startswith("<!DOCTYPE html>\n"), "no doctype")
    for c in text:
        want(c == "\n" or c >= " " and not "\x7f" <= c <= "\x9f", f"the control character {ord(c):#x}")
        want(not "\u202a" <= c <= "\u202e" and not "\u2066" <= c <= "\u2069", f"the character {ord(c):#x}")
    root = tree.fromstring(text)
    head = root.find(XHTML + "head")
    want(head[0].get("charset") == "utf-8", "the encoding is not the first thing said")
    want(head[1].get("http-equiv") == "Content-Security-Policy" and head[1].get("content") == POLICY, "no policy")
    style = root.find(f".//{XHTML}style").text
    want(not re.search(r"url\(|@import|expression|</", style), "a style that reaches out")
    for element in root.iter():
        only_known(element)
    check_names(root)
    check_order(root)
    # An HTML parser sees the same elements and the same text as the XML parser.
    texts = Texts()
    texts.feed(text)
    want(texts.tags == len(list(root.iter())), "elements that only one parser sees")
    want("".join(texts.texts).split() == "".join(root.itertext()).split(), "texts that only one parser sees")


for name in sys.argv[1:]:
    try:
        check(name)
        print(f"{name}: good")
    except (Wrong, tree.ParseError) as error:
        print(f"{name}: {error}")
