"""Letter heights on the pages for the wall, measured in millimetres of the printed PDF: the numbers at least
18 mm, the names' capitals at least 8 mm (the coach's wish), by the ink that another program puts on the page.

usage: check_heights.py PROGRAM PROJECT_FOLDER
"""
import pathlib
import re
import subprocess
import sys
import tempfile

NUMBER, NAME = 18.0, 8.0
PER_MM = 10  # dots
DPI = 25.4 * PER_MM
PAPER = 25.4 / 72  # millimetres of a point
INK = 60           # of 255: so much darker or lighter than the ground
SMALL = "aceimnorsuvwxz"  # letters lower than capitals
SLACK = 0.05  # millimetres: half a dot


def page_words(pdf, page):
    """Words with their boxes in millimetres."""
    text = subprocess.run(["pdftotext", "-bbox", "-f", str(page), "-l", str(page), pdf, "-"], check=True,
                          capture_output=True, text=True).stdout
    for box in re.findall(r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>', text):
        yield [float(value) * PAPER for value in box[:4]], box[4]


def image(pdf, page, folder):
    subprocess.run(["pdftoppm", "-gray", "-r", str(DPI), "-f", str(page), "-l", str(page), "-singlefile", pdf,
                    folder / "page"], check=True)
    data = (folder / "page.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    return int(head[1]), data[head.end():]


def ink_height(picture, box, share=1.0):
    """The rows about the middle of the box in which its first letters put ink, in millimetres."""
    width, dots = picture
    left, right = round(box[0] * PER_MM), round((box[0] + (box[2] - box[0]) * share) * PER_MM)
    middle = round((box[1] + box[3]) / 2 * PER_MM)
    ground = dots[middle * width + left - 3]
    inked = lambda row: any(abs(dots[row * width + column] - ground) > INK for column in range(left, right))
    while not inked(middle):
        middle += 1
    top = bottom = middle
    while inked(top - 1):
        top -= 1
    while inked(bottom + 1):
        bottom += 1
    return (bottom - top + 1) / PER_MM


def check_page(pdf, page, folder, numbers, names):
    picture = image(pdf, page, folder)
    tall = lambda box: box[3] - box[1]
    words = list(page_words(pdf, page))
    shirts = [(box, word) for box, word in words if word.isdigit() and tall(box) > NUMBER]
    assert len(shirts) == numbers, (page, [word for _, word in shirts])
    for box, word in shirts:
        height = ink_height(picture, box)
        assert height >= NUMBER - SLACK, f"page {page}: {word} is {height} mm"
    large = [(box, word) for box, word in words if NAME < tall(box) < NUMBER and word[0].isupper()]
    found = [word for _, word in large if word in names]
    for box, word in large:
        if word in names and word[0].isascii() and not word[0] == "I" and word[1] in SMALL:
            height = ink_height(picture, box, share=1 / len(word))
            assert height >= NAME - SLACK, f"page {page}: the capital of {word} is {height} mm"
    return found


def main():
    program, root = sys.argv[1], pathlib.Path(sys.argv[2])
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for team in ("junior-12", "club-16"):
            pdf, file = folder / f"{team}.pdf", root / f"datasets/{team}.json"
            names = re.findall(r'"name": "(\S+)', file.read_text())
            subprocess.run([program, "sheet", file, "-o", pdf], check=True)
            pages = int(re.search(r"Pages:\s+(\d+)", subprocess.run(["pdfinfo", pdf], capture_output=True,
                                                                    text=True).stdout)[1])
            told = check_page(pdf, 1, folder, 12, names)
            assert told, "no names on the summary"
            for page in (pages - 11, pages - 6, pages):
                told = check_page(pdf, page, folder, 6, names)
                assert len(told) == 6, (page, told)


main()
