"""The page in a browser: nothing is cut off or lies over anything, the answer comes first, nobody is shut out."""

from __future__ import annotations

import pytest

from conftest import DESK, PHONE

SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])

#: Elements that stick out of the window, and text cut off by a box that is too small for it.
CUT_OFF = """
() => [...document.querySelectorAll('body *')].filter((one) => {
  if (one.closest('svg') && one.tagName !== 'svg') return false;
  const style = getComputedStyle(one), box = one.getBoundingClientRect();
  if (!box.width || !box.height || (style.position === 'absolute' && style.opacity === '0')) return false;
  if (one.closest('option, select')) return false;
  const sticksOut = box.right > innerWidth + 1 || box.left < -1;
  const hides = style.overflowX !== 'visible' && one.tagName !== 'TEXTAREA' && one.scrollWidth > one.clientWidth + 1
    && one.tagName !== 'INPUT' && one.tagName !== 'HTML' && one.tagName !== 'BODY';
  return sticksOut || hides;
}).map((one) => one.tagName + '.' + one.className + ': ' + one.textContent.slice(0, 60))
"""

#: Neighbours whose boxes lie over each other.
OVERLAPS = """
() => {
  const found = [];
  const blocks = new Set(['SECTION', 'DIV', 'P', 'TABLE', 'FIGURE', 'DETAILS', 'H1', 'H2', 'H3',
    'NAV', 'UL', 'OL', 'LI',
    'FORM', 'FIELDSET', 'LABEL', 'BUTTON', 'INPUT', 'SELECT', 'TR', 'TD', 'TH', 'HEADER', 'MAIN', 'FOOTER', 'SPAN']);
  for (const parent of document.querySelectorAll('body, body *')) {
    if (parent.closest('svg')) continue;
    const boxes = [...parent.children].filter((one) => blocks.has(one.tagName))
      .map((one) => [one, one.getBoundingClientRect()])
      .filter(([one, box]) => box.width > 0 && box.height > 0 && getComputedStyle(one).position !== 'absolute'
        && getComputedStyle(one).display !== 'inline');
    for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length; j++) {
      const [one, a] = boxes[i], [other, b] = boxes[j];
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 1 && down > 1) found.push(one.tagName + ' ' + one.textContent.slice(0, 40)
        + ' | ' + other.tagName + ' ' + other.textContent.slice(0, 40));
    }
  }
  return found;
}
"""

#: Texts of a drawing that reach out of its sheet.
OUT_OF_SHEET = """
() => [...document.querySelectorAll('svg text')].filter((one) => {
  const box = one.getBoundingClientRect(), sheet = one.ownerSVGElement.getBoundingClientRect();
  if (!box.width) return false;
  return box.right > sheet.right + 1 || box.left < sheet.left - 1
    || box.bottom > sheet.bottom + 1 || box.top < sheet.top - 1;
}).map((one) => one.textContent)
"""

OPEN_ALL = "() => document.querySelectorAll('details').forEach((fold) => { fold.open = true; })"


@SIZES
@pytest.mark.parametrize("is_unfolded", [False, True], ids=["folded", "unfolded"])
def test_nothing_is_cut_off_and_nothing_overlaps(open_page, page_file, size, is_unfolded):
    page = open_page(page_file, size)
    if is_unfolded:
        page.evaluate(OPEN_ALL)
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert page.evaluate(CUT_OFF) == []
    assert page.evaluate(OVERLAPS) == []
    assert page.evaluate(OUT_OF_SHEET) == []


@SIZES
def test_the_answer_is_above_the_fold(open_page, page_file, size):
    page = open_page(page_file, size)
    # The README's answer to the same files.
    answer = page.get_by_text("Have we enough? No: 4418 of 6575 must be bought").bounding_box()
    buy = page.locator("section[aria-label='The answer'] table").bounding_box()
    for box in (answer, buy):
        assert box["y"] + box["height"] < size["height"]


@SIZES
def test_small_text_of_drawings_can_be_read(open_page, page_file, size):
    """Common practice, no source: text under 8 px is not read on a phone."""
    page = open_page(page_file, size)
    heights = page.evaluate(
        "() => [...document.querySelectorAll('figure.slope svg, figure.plan svg')].map((svg) => "
        "svg.getBoundingClientRect().width / svg.viewBox.baseVal.width * 10)"
    )
    assert heights
    assert min(heights) >= 8


def test_boxes_switch_layers(open_page, page_file):
    page = open_page(page_file)
    layer = page.locator("#d1-battens")
    assert layer.get_attribute("display") == "none"
    page.locator("#figure-d1 input[data-layer='battens']").check()
    assert layer.get_attribute("display") is None
    page.locator("#figure-d1 input[data-layer='units']").uncheck()
    assert page.locator("#d1-units").get_attribute("display") == "none"
    assert page.locator("#d2-units").get_attribute("display") is None


def test_working_unfolds(open_page, page_file):
    page = open_page(page_file)
    fold = page.locator("#take-off details.line").first
    assert not fold.locator(".why").is_visible()
    fold.locator("summary").click()
    assert fold.locator(".why").is_visible()


def test_it_prints_on_a4(open_page, page_file):
    page = open_page(page_file, DESK)
    pdf = page.pdf(prefer_css_page_size=True)
    assert pdf.startswith(b"%PDF")
    pages = pdf.count(b"/Type /Page\n") or pdf.count(b"/Type /Page ") or pdf.count(b"/Type/Page")
    # Sheets of A4 (ISO 216: 210 x 297 mm, 595 x 842 points), and not a book of them.
    assert b"595" in pdf
    assert 3 <= pages <= 30
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 703, "height": 1000})  # 186 mm between the margins, at 96 px an inch
    assert page.evaluate("document.documentElement.scrollWidth") <= 703
    assert page.evaluate(OVERLAPS) == []
    assert not page.locator("#tally").is_visible()
    assert page.locator("#order").is_visible()


@SIZES
def test_axe_finds_no_serious_fault(open_page, page_file, size):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe is not installed")
    page = open_page(page_file, size)
    page.evaluate(OPEN_ALL)
    # The page's policy runs no foreign script: axe is put in from outside, in the test's own context.
    results = axe.Axe().run(page, options={"resultTypes": ["violations"]}).response
    serious = [
        (found["id"], found["impact"], [node["html"][:120] for node in found["nodes"][:3]])
        for found in results["violations"]
        if found["impact"] in ("serious", "critical")
    ]
    assert serious == []
    assert results["passes"]


def test_without_scripts_everything_but_the_tally_works(open_page, page_file):
    page = open_page(page_file, java_script_enabled=False)
    assert page.locator("#d1-units").is_visible()
    assert page.locator("#order table").is_visible()
