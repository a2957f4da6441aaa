#include "engine/render/sheet_style.h"

namespace gearwhy {

const char* const kSheetStyle = R"(:root {
  --ink: #1b1b1b; --soft: #4d4d4d; --paper: #ffffff; --wash: #eeeeea; --edge: #767676; --mark: #17457a;
}
@media (prefers-color-scheme: dark) {
  :root { --ink: #ededed; --soft: #bdbdbd; --paper: #16181a; --wash: #25282b; --edge: #9a9a9a; --mark: #9cc4f2; }
}
* { box-sizing: border-box; }
html { color-scheme: light dark; -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body {
  margin: 0 auto; padding: 1rem; max-width: 52rem; color: var(--ink); background: var(--paper);
  font: 1rem/1.45 Helvetica, Arial, "Liberation Sans", sans-serif; overflow-wrap: anywhere;
}
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 0.2rem; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 0.4rem; padding-bottom: 0.15rem; border-bottom: 2px solid var(--ink); }
h3 { font-size: 1rem; margin: 0.9rem 0 0.2rem; }
p { margin: 0.3rem 0; }
.aside, figcaption, footer { color: var(--soft); font-size: 0.875rem; }
dl.verdict { margin: 0.4rem 0; }
dl.verdict div { display: flex; gap: 0.8rem; align-items: baseline; padding: 0.2rem 0; }
dl.verdict dt { flex: 0 0 3.6rem; font-weight: bold; white-space: nowrap; }
dl.verdict dd { margin: 0; flex: 1; }
dl.verdict dd.value { flex: 0 0 auto; font-weight: bold; white-space: nowrap; }
ol.suspects { margin: 0; padding: 0; list-style: none; }
ol.suspects > li { margin: 0 0 0.9rem; padding-left: 1.7rem; position: relative; break-inside: avoid; }
ol.suspects .number { position: absolute; left: 0; font-weight: bold; }
ol.looks { margin: 0; padding: 0; list-style: none; }
ol.looks > li { margin: 0 0 0.7rem; break-inside: avoid; }
ol.looks .takes { color: var(--soft); }
ul.marked { list-style: none; margin: 0.2rem 0; padding: 0; }
ul.marked li { padding-left: 1.3em; position: relative; }
ul.marked li.tick { padding-left: 0; }
ul.marked .mark { position: absolute; left: 0.2em; }
.pair { display: flex; gap: 1rem; justify-content: space-between; }
.pair b { white-space: nowrap; }
label { display: block; padding-left: 1.5rem; text-indent: -1.5rem; }
input[type=checkbox] { width: 1rem; height: 1rem; margin: 0 0.5rem 0 0; vertical-align: -0.12rem; accent-color: var(--mark); }
ul.parts { list-style: none; margin: 0.3rem 0; padding: 0; columns: 15rem; column-gap: 1.2rem; }
ul.parts li { break-inside: avoid; padding: 0.1rem 0; }
figure { margin: 0.5rem 0; }
.scroll { overflow-x: auto; }
svg { display: block; max-width: 100%; height: auto; font-family: inherit; }
.scroll svg { min-width: 38rem; width: 100%; }
svg text { fill: var(--ink); }
svg text.soft { fill: var(--soft); }
svg text.strong { font-weight: bold; }
svg text.on { fill: var(--paper); font-weight: bold; }
.box { fill: var(--wash); stroke: var(--edge); }
.box.suspect { fill: var(--paper); stroke: var(--ink); stroke-width: 2.5; }
.box.against { stroke-dasharray: 5 3; }
.box.goes { stroke-dasharray: 1.5 2.5; }
.tie { fill: none; stroke: var(--ink); }
.tie.against { stroke-dasharray: 7 4; }
.tie.goes { stroke-dasharray: 1.5 3.5; }
.bar { stroke: var(--ink); stroke-width: 2.2; }
.solid { fill: var(--ink); stroke: none; }
.now { fill: var(--mark); stroke: none; }
.before { fill: var(--paper); stroke: var(--ink); stroke-width: 1; }
.axis { stroke: var(--edge); stroke-width: 1; }
.grid { stroke: var(--edge); stroke-width: 0.7; stroke-dasharray: 2 3; }
.shaft { stroke: var(--ink); stroke-width: 1.2; }
.shaft.failing { stroke-width: 4; }
.range { stroke: var(--mark); stroke-width: 1.8; }
.fails { stroke: var(--ink); stroke-width: 1.6; stroke-dasharray: 7 4; }
.lead { stroke: var(--edge); stroke-width: 0.7; }
.band { fill: var(--wash); stroke: none; }
.limit { stroke: var(--ink); stroke-width: 2; }
.doubt { stroke: var(--mark); stroke-width: 2; }
table { border-collapse: collapse; width: 100%; margin: 0.3rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); font-size: 0.875rem; padding-bottom: 0.2rem; }
th, td { border: 1px solid var(--edge); padding: 0.2rem 0.4rem; text-align: left; vertical-align: top; }
thead th { background: var(--wash); overflow-wrap: normal; }
td.value { white-space: nowrap; }
.chart th, .chart td { overflow-wrap: normal; }
.chart tbody th { white-space: nowrap; }
.chart td { text-align: center; }
.chart tbody th { font-weight: normal; }
.suspected { border-left: 4px solid var(--ink); border-right: 4px solid var(--ink); font-weight: bold; }
.cleared { border-left-style: dotted; border-right-style: dotted; color: var(--soft); }
.chart .says { display: block; font-weight: normal; font-size: 0.8rem; }
td.blank { min-width: 6.5rem; height: 2.1rem; text-align: right; vertical-align: bottom; color: var(--soft); }
.lines div { border-bottom: 1px solid var(--edge); height: 1.7rem; }
footer { margin-top: 1.5rem; border-top: 1px solid var(--edge); padding-top: 0.4rem; }
a { color: var(--mark); }
@media screen and (max-width: 34rem) {
  dl.verdict div { flex-wrap: wrap; gap: 0 0.8rem; }
  dl.verdict dd { flex: 1 1 60%; }
  dl.verdict dd.value { flex: 0 0 100%; padding-left: 4.4rem; }
}
@page { margin: 9mm 11mm; }
@media print {
  :root { --ink: #000000; --soft: #333333; --paper: #ffffff; --wash: #ebebe6; --edge: #666666; --mark: #17457a; }
  html { color-scheme: light; }
  body { padding: 0; max-width: none; font-size: 7.8pt; line-height: 1.22; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  body.close { zoom: 0.93; }
  body.closer { zoom: 0.87; }
  body.closest { zoom: 0.8; }
  h1 { font-size: 13pt; }
  h2 { font-size: 1.18em; margin: 0.5em 0 0.2em; border-bottom-width: 1pt; break-after: avoid; }
  h3 { font-size: 1em; margin: 0.3em 0 0.1em; break-after: avoid; }
  p { margin: 1pt 0; }
  .aside, figcaption, footer, caption { font-size: 0.9em; }
  dl.verdict { margin: 1pt 0; }
  dl.verdict div { padding: 0.5pt 0; gap: 6pt; }
  dl.verdict dt { flex-basis: 34pt; }
  dl.verdict { font-size: 1.12em; }
  ol.suspects, ol.looks { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0 12pt; }
  ol.suspects > li, ol.looks > li { margin-bottom: 2pt; padding-left: 11pt; }
  ol.looks > li { padding-left: 0; }
  label { padding-left: 10pt; text-indent: -10pt; }
  input[type=checkbox] { width: 6.5pt; height: 6.5pt; margin-right: 3pt; vertical-align: -0.8pt; }
  ul.parts { columns: 4; column-gap: 9pt; font-size: 0.9em; line-height: 1.18; margin: 1pt 0; }
  ul.parts.wide { columns: 3; }
  .small { font-size: 0.88em; line-height: 1.16; }
  .small ul.marked { margin: 0; }
  ul.parts li { padding: 0.2pt 0; }
  .two { columns: 2; column-gap: 14pt; }
  .two h3:first-child, .beside h3:first-child { margin-top: 0; }
  .three { columns: 3; column-gap: 12pt; }
  .beside { display: grid; grid-template-columns: 1fr 1fr; gap: 0 14pt; }
  figure { margin: 2pt 0; break-inside: avoid; }
  .scroll { overflow: visible; }
  .scroll svg { min-width: 0; }
  th, td { padding: 0.8pt 3pt; }
  thead { display: table-header-group; }
  table, tr { break-inside: avoid; }
  .chart { font-size: 0.9em; }
  .chart .says { font-size: 0.88em; }
  td.blank { height: 15pt; min-width: 62pt; }
  .lines div { height: 13pt; }
  section, footer { break-inside: auto; }
  footer { margin-top: 4pt; padding-top: 2pt; }
  .half { max-height: 128mm; }
  .screen { display: none; }
}
)";

}  // namespace gearwhy
