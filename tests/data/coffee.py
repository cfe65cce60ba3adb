"""Makes coffee.png, the photograph chart: a photograph of a cup of coffee (scikit-image's
data/coffee.png, CC0), 400 x 267 cells by box resize, 90 colours by Pillow's max coverage with
three rounds of k-means, no dither. The PNG is indexed: a pixel is a cell, its index a needle.

Needs scikit-image 0.26 and Pillow 13; other versions may quantise differently, which the sha256
of the grid, kept beside the chart, would show.
"""

import hashlib
import pathlib

import skimage
from PIL import Image

HERE = pathlib.Path(__file__).parent
PHOTO = pathlib.Path(skimage.__file__).parent / "data" / "coffee.png"


def main() -> None:
    photo = Image.open(PHOTO).convert("RGB").resize((400, 267), Image.Resampling.BOX)
    chart = photo.quantize(90, Image.Quantize.MAXCOVERAGE, kmeans=3, dither=Image.Dither.NONE)
    chart.save(HERE / "coffee.png", optimize=True)
    digest = hashlib.sha256(chart.tobytes()).hexdigest()
    (HERE / "coffee.sha256").write_text(f"{digest}  400x267 cells, one byte each, row by row\n")


if __name__ == "__main__":
    main()
