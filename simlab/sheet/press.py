"""A sheet as PDF, set by typst: compiler and fonts come with its wheel, nothing is fetched or dated."""

from __future__ import annotations

from simlab.errors import SimlabFault
from simlab.notation.page import written
from simlab.notation.typst import quoted
from simlab.pictures.palette import GREY, INK
from simlab.sheet.garland import garland
from simlab.sheet.sheet import Audience, Ruling, Sheet
from simlab.sheet.web import Paper

PAPERS = {"a4": "a4", "letter": "us-letter"}
STYLE = r"""
#let ink = rgb("INK")
#let grey = rgb("GREY")
#set document(title: TITLE, author: (), date: none)
#set page(paper: PAPER, margin: (x: 20mm, top: 17mm, bottom: 19mm), footer: context {
  set text(9pt, fill: grey)
  TITLE
  h(1fr)
  counter(page).display("1 / 1", both: true)
})
#set text(font: "Libertinus Serif", size: 11.5pt, lang: "en", fill: ink, hyphenate: false)
#set par(leading: 0.66em, spacing: 0.95em)
#show math.equation: set text(font: "New Computer Modern Math", weight: 450)
#show math.equation.where(block: true): set align(left)
#show math.equation.where(block: true): set block(spacing: 0.8em, breakable: true)
#show heading: set text(weight: 600)
#show heading: set block(above: 1.5em, below: 0.8em)
#show heading.where(level: 1): it => {
  pdf.artifact(image(bytes(sys.inputs.garland), format: "svg", width: 100%))
  v(-2mm)
  text(20pt, it)
}
#show heading.where(level: 2): set text(14pt)
#show heading.where(level: 3): set text(12pt)
#set table(stroke: (_, y) => (bottom: if y == 0 { 0.6pt + ink } else { 0.4pt + luma(215) }),
  inset: (x, y) => (left: 0pt, right: 5mm, y: 1.7mm))
#show table.cell.where(y: 0): set text(weight: 600)
#show figure: set block(breakable: false)
#show figure.caption: set text(10pt)
#show figure.caption: set align(left)
#let maths(alt, it, tall: false) = {
  let told = math.equation(alt: alt, block: it.block, it.body)
  if it.block or not tall { told } else { box(inset: (y: 0.36em), told) }  // keeps the lines apart
}
#let step(number, body) = block(breakable: false, width: 100%, pad(left: 9mm,
  [#h(-9mm)#box(width: 9mm, text(fill: grey, number))#body]))
#let indented(body) = pad(left: 6mm, body)
#let labelled(label, body) = [#strong[#label:] #body]
#let small(body) = block(above: 1.6em, text(9.5pt, fill: grey, body))
#let equations(body) = pad(left: 5mm, body)
#let drawn(name, alt, caption, share) = box(width: share * 100%, inset: (right: 3mm, y: 1mm), figure(
  image(bytes(sys.inputs.at(name)), format: "svg", alt: alt, width: 100%),
  caption: caption, numbering: none, kind: "picture", supplement: none))
#let in-rows(body) = { set text(costs: (orphan: 0%, widow: 0%)); body }  // a row may stand on any page
#let beside(left, right, share) = grid(columns: (1fr, share * 100%), column-gutter: 7mm, left, right)
#let row = block(height: 8mm, width: 100%, spacing: 0pt, breakable: false,
  stroke: (bottom: 0.4pt + luma(160)))
#let squares = tiling(size: (5mm, 5mm), rect(width: 5mm, height: 5mm, stroke: 0.3pt + luma(175)))
#let ruled(lines, squared) = if squared {
  block(width: 100%, height: calc.ceil(lines * 8 / 5) * 5mm, fill: squares)
} else {
  let first = calc.min(lines, 4)  // no heading stands over fewer
  block(breakable: false, spacing: 0pt, for k in range(first) { row })
  for k in range(lines - first) { row }
}
#let blanks(..labels) = block(above: 1.4em, below: 1.4em, {
  let texts = labels.pos()
  grid(columns: texts.enumerate().map(((k, _)) => if k == 0 { 2fr } else { 1fr }), column-gutter: 6mm,
    ..texts.map(label => grid(columns: (auto, 1fr), column-gutter: 2mm, label,
      align(bottom, line(length: 100%, stroke: 0.5pt + grey)))))
})
#let values(columns, sides, ..cells) = block(breakable: cells.pos().len() > 12 * columns, table(
  columns: columns, align: sides.map(side => side + horizon), ..cells))
#let new-sheet = pagebreak(weak: true)
"""


def pdf(sheet: Sheet, audience: Audience = "both", ruling: Ruling = "ruled", paper: Paper = "a4") -> bytes:
    """The whole file; the same sheet gives the same bytes."""
    import typst

    style = STYLE.replace("TITLE", quoted(sheet.title)).replace("PAPER", quoted(PAPERS[paper]))
    style = style.replace("INK", INK).replace("GREY", GREY)
    text = style + "\n".join(written(sheet.page(audience, ruling), "typst"))
    try:
        return bytes(
            typst.compile(
                text.encode(),
                format="pdf",
                pdf_standards="ua-1",
                sys_inputs={"garland": garland(), **sheet.pictures},
                ignore_system_fonts=True,
            )
        )
    except typst.TypstError as error:
        raise SimlabFault(f"the sheet cannot be typeset: {error}") from error
