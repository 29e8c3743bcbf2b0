"""A label as a file: SVG for any printer, PNG for one that prints only images."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from flask import Response, render_template

from . import paper
from .lettering import font
from .paper import BAR, DOTS, EDGE, HEIGHT, WIDTH, Label, Line

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

SVG, PNG = "image/svg+xml", "image/png"
INCH_MM = 25.4


def svg(label: Label) -> Response:
    """As a drawing with its size in mm."""
    return Response(render_template("label.svg", label=label, paper=paper), mimetype=SVG)


def png(label: Label) -> Response:
    """As an image with its resolution."""
    from PIL import Image, ImageDraw

    sheet = Image.new("L", (int(WIDTH * DOTS), int(HEIGHT * DOTS)), 255)
    squares = round(label.square * DOTS)
    sheet.paste(label.code.image(squares), (int(EDGE * DOTS), int(EDGE * DOTS)))
    pen = ImageDraw.Draw(sheet)
    for line in label.lines:
        _write(pen, line, 0)
    if label.bar:
        pen.rectangle((0, (HEIGHT - BAR) * DOTS, WIDTH * DOTS, HEIGHT * DOTS), fill=0)
        _write(pen, label.bar, 255)
    out = BytesIO()
    sheet.save(out, "PNG", dpi=(DOTS * INCH_MM, DOTS * INCH_MM))
    return Response(out.getvalue(), mimetype=PNG)


def _write(pen: ImageDraw, line: Line, ink: int) -> None:
    size = max(1, int(line.size * DOTS))
    pen.text((line.x * DOTS, line.y * DOTS), line.text, ink, font(size, line.bold), anchor="ls")
