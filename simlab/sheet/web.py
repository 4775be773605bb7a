"""A sheet as one HTML file: read in a browser, printed on A4 or Letter, nothing fetched from anywhere."""

from __future__ import annotations

from base64 import b64encode
from typing import Literal

from simlab.notation.page import html_document
from simlab.pictures.palette import GREY, INK
from simlab.sheet.garland import garland
from simlab.sheet.sheet import Audience, Ruling, Sheet

Paper = Literal["a4", "letter"]

STYLE = """
:root { color: %(ink)s; background: #fff; font: 112.5%%/1.5 Charter, "Bitstream Charter", "Sitka Text",
  Cambria, "Noto Serif", Georgia, serif; }
body { margin: 0; }
main { max-width: 44rem; margin: 0 auto; padding: 1rem 1.25rem 3rem; }
math { font-family: "STIX Two Math", "Cambria Math", "Latin Modern Math", "Libertinus Math", math; }
p math { padding-block: 0.12em; }
h1::before { content: ""; display: block; aspect-ratio: 170 / 9; margin-bottom: 0.7rem;
  background: url("data:image/svg+xml;base64,%(garland)s") 0 0 / 100%% no-repeat;
  -webkit-print-color-adjust: exact; print-color-adjust: exact; }
h1 { font-size: 1.75rem; line-height: 1.2; margin: 0 0 1rem; }
h2 { font-size: 1.25rem; line-height: 1.3; margin: 2rem 0 0.6rem; }
h3 { font-size: 1.05rem; margin: 1.4rem 0 0.4rem; }
p { margin: 0.55rem 0; }
.indented { margin-left: 1.6rem; }
.small { font-size: 0.8rem; color: %(grey)s; margin-top: 1.2rem; }
.beside { display: flex; gap: 1.5rem; align-items: flex-start; }
.beside > div { flex: 1 1 0; min-width: 0; }
figure { display: inline-block; box-sizing: border-box; vertical-align: bottom; margin: 0.6rem 0;
  padding-right: 1rem; width: calc(var(--share, 1) * 100%%); }
.beside figure { flex: none; margin: 0.3rem 0; padding: 0; }
figure img { display: block; width: 100%%; }
figcaption { font-size: 0.9rem; margin-top: 0.3rem; }
ol { margin: 0; padding-left: 2.2rem; }
li { margin: 0.5rem 0; }
li::marker { color: %(grey)s; }
.equations { margin: 0.3rem 0; padding-left: 1.2rem; }
.equations td { padding: 0.3rem 0; border: 0; }
.equations td + td { padding-left: 0.25rem; }
.equations td + td + td { padding-left: 2rem; color: %(grey)s; }
.equations table { width: auto; margin: 0; }
table { border-collapse: collapse; margin: 0.6rem 0; }
th, td { padding: 0.35rem 1.4rem 0.35rem 0; text-align: left; vertical-align: baseline; }
th { font-weight: 600; border-bottom: 1px solid %(ink)s; }
td { border-bottom: 1px solid #d8d3dd; }
.wide { overflow-x: auto; }
.blanks { display: flex; gap: 1.5rem; margin: 0.9rem 0 1.2rem; }
.blanks > span { display: flex; flex: 1; align-items: baseline; gap: 0.5rem; white-space: nowrap; }
.blanks > span:first-child { flex: 2; }
.blanks > span::after { content: ""; flex: 1; border-bottom: 1px solid %(grey)s; }
hr { border: 0; border-bottom: 1px solid #a59fac; height: 8mm; margin: 0; box-sizing: border-box; }
.break { height: 0; margin: 4rem 0 3rem; border-top: 1px dashed %(grey)s; }
@media (max-width: 38rem) {
  :root { font-size: 100%%; }
  .beside { display: block; }
  figure, .beside figure { width: min(100%%, calc(var(--share, 1) * 180%%)); }
  .blanks { flex-direction: column; gap: 1rem; }
}
@media print {
  :root { font-size: 11.5pt; }
  main { max-width: none; padding: 0; orphans: 1; widows: 1; }
  h1, h2, h3, thead { break-after: avoid; }
  h2 { margin-top: 1.3rem; }
  .space, .space > div { break-before: avoid; }
  .space > div, li, figure, tr, .wide, .equations, .beside, .blanks, svg.space { break-inside: avoid; }
  .wide { overflow: visible; }
  p { orphans: 3; widows: 3; }
  .break { break-before: page; border: 0; margin: 0; }
}
@page { %(size)smargin: 17mm 20mm 19mm;
  @bottom-right { content: counter(page) " / " counter(pages); font: 9pt sans-serif; color: %(grey)s; }
}
"""


def html(
    sheet: Sheet, audience: Audience = "both", ruling: Ruling = "ruled", paper: Paper | None = None
) -> str:
    """The whole file. Without a paper it is printed on whatever the printer has."""
    style = STYLE % {
        "ink": INK,
        "grey": GREY,
        "garland": b64encode(garland().encode()).decode(),
        "size": f"size: {paper}; " if paper else "",
    }
    page = sheet.page(audience, ruling)
    return html_document(page, sheet.title, pictures=sheet.pictures, style=style)
