"""
The native part of slopewright. Use it through the package.
"""

from _typeshed import SupportsGetItem
from decimal import Decimal
from typing import Any, SupportsFloat, SupportsIndex, final

@final
class ArrowTable:
    """
    A table of batches. polars, pandas, pyarrow and `DuckDB` read it through the Arrow interface.
    """
    def __arrow_c_stream__(self, /, requested_schema: "object | None" = None) -> "object":
        """
        The table as an Arrow stream in a capsule, for whatever reads those.
        """
    def __len__(self, /) -> int: ...
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str:
        """
        The table for a notebook; lists are left out.
        """
    @property
    def column_names(self, /) -> list[str]:
        """
        The names of the columns; a column of figures has its unit at the end.
        """
    @property
    def meanings(self, /) -> dict[str, str]:
        """
        What each column means.
        """
    def records(self, /) -> "list[dict[str, Any]]":
        """
        The rows as a list of dictionaries, for small tables: lists of figures are left out.
        """
    def sums(self, /) -> dict[str, float]:
        """
        The sums of the columns of figures and counts, by name; what is absent counts for nothing.
        """
    def to_csv(self, /) -> str:
        """
        The table as CSV text; lists are left out.
        """

@final
class Batch:
    """
    What a batch comes to: totals with a row for each slope, lines if they are wanted, and errors with a row for each fault.
    """
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str:
        """
        How many rows there are and how many are faulty, the totals, and the faults.
        """
    @property
    def errors(self, /) -> ArrowTable:
        """
        A row for each fault, with the number of its row.
        """
    @property
    def faulty_count(self, /) -> int:
        """
        Rows that have faults.
        """
    @staticmethod
    def joined(batches: SupportsGetItem[int, Batch]) -> Batch:
        """
        The batches of `take_off_batches` as one, in their order. Raises `ValueError` without any, or if their columns differ.
        """
    @property
    def lines(self, /) -> ArrowTable:
        """
        A row for each slope and item; without any unless lines were asked for.
        """
    @property
    def row_count(self, /) -> int:
        """
        Rows that were read.
        """
    @property
    def totals(self, /) -> ArrowTable:
        """
        A row for each slope: its amounts side by side.
        """

@final
class Batches:
    """
    Takes off a table of slopes some rows at a time, so that no more than those are held. It is an iterator of `Batch`.
    """
    def __iter__(self, /) -> Batches: ...
    def __next__(self, /) -> Batch: ...
    def __repr__(self, /) -> str: ...

@final
class CityModel:
    """
    The roof surfaces of a city model, laid flat, with what their edges are.
    """
    def __len__(self, /) -> int: ...
    def __repr__(self, /) -> str: ...
    @property
    def buildings(self, /) -> list[str]:
        """
        The names of the buildings that have roof surfaces.
        """
    @property
    def faults(self, /) -> list[Fault]:
        """
        What was wrong with single surfaces: they are left out.
        """
    @property
    def footprints_m2(self, /) -> dict[str, float]:
        """
        The areas of the buildings' ground surfaces in plan, for those that have any.
        """
    @staticmethod
    def from_text(
        text: str,
        *,
        unit: str | None = None,
        flat_below_deg: SupportsFloat | SupportsIndex = 5.0,
        small_below_m2: SupportsFloat | SupportsIndex = 1.0,
        lod: str | None = None,
    ) -> CityModel:
        """
        Reads a model from the text of a `CityJSON` document or of a `CityJSONSeq`. Raises `SurveyError` if it cannot be
        read, or if its coordinates are degrees.
        """
    @property
    def reference_system(self, /) -> str | None:
        """
        The reference system as the model names it.
        """
    @property
    def slopes(self, /) -> ArrowTable:
        """
        The slopes as rows of a batch; flat, small and upright surfaces are left out.
        """
    def survey(self, /, building: str, survey: Survey) -> Survey:
        """
        A building as a survey, its slopes with roles and joints, covered as another survey says. Raises `KeyError` if there
        is no such building.
        """
    def table(self, /, name: str = "surfaces") -> Table:
        """
        A table: surfaces or edges. Raises `OutputError` for another name.
        """

@final
class Cutting:
    """
    Battens cut from stock, slope by slope.
    """
    def __repr__(self, /) -> str: ...
    def _repr_svg_(self, /) -> str: ...
    def drawing(self, /, slope: str | None = None, *, prefix: str = "") -> Drawing:
        """
        The cutting list as bars, of one slope or of all. Raises `OutputError` for an unknown slope.
        """
    @property
    def lines(self, /) -> list[Line]:
        """
        What to buy: a line for each slope and stock length, with how far it is from the least possible.
        """
    @property
    def list(self, /) -> list[str]:
        """
        The cutting list as the person at the saw reads it, slope by slope.
        """
    def table(self, /, name: str = "cutting") -> Table:
        """
        A table: cutting (equal bars together) or pieces (where each lies). Raises `OutputError` for another name.
        """

@final
class DeliveryChoice:
    """
    One number to order, and what it costs on average beyond the units that are needed.
    """
    def __repr__(self, /) -> str: ...
    @property
    def chance_short(self, /) -> float:
        """
        The chance that they are too few.
        """
    @property
    def cheapest(self, /) -> bool:
        """
        Whether no other choice costs less.
        """
    @property
    def cost(self, /) -> float:
        """
        Both together, in the currency of the price.
        """
    @property
    def delivery_cost(self, /) -> float:
        """
        The second delivery and what it brings, on average, in the currency of the price.
        """
    @property
    def left_over(self, /) -> float:
        """
        How many are left over on average.
        """
    @property
    def missing(self, /) -> float:
        """
        How many are missing on average.
        """
    @property
    def ordered(self, /) -> int:
        """
        How many are ordered.
        """
    @property
    def surplus_cost(self, /) -> float:
        """
        What is ordered beyond the need, less what is still worth something, on average, in the currency of the price.
        """

@final
class Drawing:
    """
    A drawing as SVG. Notebooks show it.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    def _repr_png_(self, /) -> bytes | None: ...
    def _repr_svg_(self, /) -> str: ...
    @property
    def kind(self, /) -> str:
        """
        What it shows: slope, plan or cutting.
        """
    @property
    def name(self, /) -> str:
        """
        Of what: the name of the slope or the roof, as far as it is shown.
        """
    @property
    def svg(self, /) -> str:
        """
        The drawing as an SVG document.
        """
    def to_png(self, /, *, width_px: SupportsIndex | None = None) -> bytes:
        """
        The drawing as a PNG picture, by default in its own size. Raises `ImportError` where the extra `png` is not
        installed.
        """

@final
class Fault:
    """
    One thing that is wrong with an input.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __hash__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def advice(self, /) -> str:
        """
        What to do.
        """
    @property
    def allowed(self, /) -> str:
        """
        What is allowed.
        """
    @property
    def given(self, /) -> str:
        """
        What was given.
        """
    @property
    def kind(self, /) -> str:
        """
        The kind, a stable code such as `opening-outside`.
        """
    @property
    def place(self, /) -> str:
        """
        Where: `slope 'north', opening 2`.
        """
    @property
    def problem(self, /) -> str:
        """
        What is wrong.
        """
    @property
    def text(self, /) -> str:
        """
        All of it in a sentence, as `str` gives it.
        """

@final
class Finding:
    """
    Something that the reader of a result must know.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __hash__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def message(self, /) -> str:
        """
        What.
        """
    @property
    def place(self, /) -> str:
        """
        Where.
        """
    @property
    def rule(self, /) -> str:
        """
        The rule behind it.
        """
    @property
    def severity(self, /) -> str:
        """
        How much it weighs: caution or departure.
        """
    @property
    def source(self, /) -> str:
        """
        Where the rule comes from.
        """
    @property
    def text(self, /) -> str:
        """
        All of it in a sentence, as `str` gives it.
        """

@final
class HeapInspection:
    """
    A heap of which a sample was inspected: what can be relied on. Counted exactly for a finite heap.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    @property
    def at_least(self, /) -> int:
        """
        How many are sound at the least, with the sureness.
        """
    @property
    def inspected(self, /) -> int:
        """
        How many were inspected.
        """
    @property
    def likely(self, /) -> int:
        """
        How many are sound most likely.
        """
    @property
    def lot(self, /) -> int:
        """
        How many there are.
        """
    def more_for_gap(self, /, *, gap: SupportsIndex) -> int:
        """
        How many more to inspect until the bound is within `gap` of the likely number, if the rest is like the sample.
        """
    def more_for_need(self, /, *, need: SupportsIndex) -> int | None:
        """
        How many more to inspect until `need` can be relied on, if the rest is like the sample; `None` if the heap is not
        likely to hold that many.
        """
    @property
    def sound(self, /) -> int:
        """
        How many of those were sound.
        """
    @property
    def sureness(self, /) -> float:
        """
        The sureness of the bound.
        """
    @property
    def working(self, /) -> Working:
        """
        How the figures were reached.
        """

@final
class Joint:
    """
    An edge that two slopes share: a ridge, hip, valley or change of pitch.
    """
    def __repr__(self, /) -> str: ...
    @property
    def between(self, /) -> tuple[str, str]:
        """
        The two edges, each as "slope: edge".
        """
    @property
    def difference_m(self, /) -> float:
        """
        By how much the two sides differ [m].
        """
    @property
    def length_m(self, /) -> float:
        """
        Its true length, the mean of its two sides [m].
        """
    @property
    def role(self, /) -> str:
        """
        What it is.
        """

@final
class Line:
    """
    One line of a take-off.
    """
    def __repr__(self, /) -> str: ...
    @property
    def area_m2(self, /) -> float | None:
        """
        How large, in square metres.
        """
    @property
    def count(self, /) -> int | None:
        """
        How many.
        """
    @property
    def format(self, /) -> str:
        """
        The key of its format in the catalogue.
        """
    @property
    def item(self, /) -> str:
        """
        What it is.
        """
    @property
    def length_m(self, /) -> float | None:
        """
        How long, in metres.
        """
    @property
    def mass_kg(self, /) -> float | None:
        """
        How heavy, in kilograms.
        """
    @property
    def part(self, /) -> str:
        """
        The part of the roof: covering, battens, underlay, fixings.
        """
    @property
    def slope(self, /) -> str:
        """
        The slope; empty for the whole roof.
        """
    @property
    def working(self, /) -> Working:
        """
        Why.
        """

@final
class Need:
    """
    So many units of one sort for one slope.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        slope: str,
        unit: str,
        count: SupportsIndex,
        roof: str = ...,
        mass_each_kg: SupportsFloat | SupportsIndex | None = None,
    ) -> Need: ...
    def __repr__(self, /) -> str: ...
    @property
    def count(self, /) -> int:
        """
        How many.
        """
    @property
    def mass_each_kg(self, /) -> float | None:
        """
        The mass of one in kilograms, where it is known.
        """
    @property
    def roof(self, /) -> str:
        """
        The roof; may be empty.
        """
    @property
    def slope(self, /) -> str:
        """
        The slope.
        """
    @property
    def unit(self, /) -> str:
        """
        The unit by its format and kind, such as `plain-tile-265x165 whole`.
        """

@final
class Order:
    """
    An order: lines with packs, spare, prices and masses, and what is to be paid.
    """
    def __arrow_c_stream__(self, /, requested_schema: "object | None" = None) -> "object":
        """
        The lines as an Arrow stream in a capsule, for whatever reads those.
        """
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str: ...
    @property
    def currency(self, /) -> str:
        """
        The currency by its three letters.
        """
    @property
    def findings(self, /) -> list[Finding]:
        """
        What the reader must know.
        """
    @property
    def gross(self, /) -> Decimal:
        """
        What is to be paid, as a `decimal.Decimal`.
        """
    @property
    def lift_count(self, /) -> int | None:
        """
        Lifts in all, if the load of one is stated.
        """
    @property
    def lines(self, /) -> list[OrderLine]:
        """
        The lines.
        """
    @property
    def mass_kg(self, /) -> Decimal:
        """
        The mass of everything whose mass is known, in kilograms, as a `decimal.Decimal`.
        """
    @property
    def net(self, /) -> Decimal:
        """
        Before tax, as a `decimal.Decimal`.
        """
    @property
    def pallet_count(self, /) -> int:
        """
        Pallets in all.
        """
    def table(self, /, name: str = "order") -> Table:
        """
        A table: order, totals or findings. Raises `OutputError` for another name.
        """
    @property
    def tax(self, /) -> Decimal:
        """
        All tax, as a `decimal.Decimal`.
        """
    def to_json(self, /) -> str:
        """
        The whole result, with the salvage that it follows from, as JSON text.
        """
    @property
    def unpriced(self, /) -> list[str]:
        """
        Materials that have no price and are not ordered.
        """

@final
class OrderDocument:
    """
    Currency, terms and prices, as a document.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def from_json(text: str) -> OrderDocument:
        """
        Reads an order document from JSON text. Raises `OrderError` with every part that cannot be read.
        """
    @staticmethod
    def from_toml(text: str) -> OrderDocument:
        """
        Reads an order document from TOML text. Raises `OrderError` with every part that cannot be read.
        """
    def order(self, /, wanted: SupportsGetItem[int, tuple[str, SupportsIndex]]) -> Order:
        """
        Orders so many of each item. Raises `OrderError` with every fault.
        """
    def order_for(self, /, salvaged: Salvaged) -> Order:
        """
        Orders what is short after salvage, and of the other materials whatever has a price. Raises `OrderError` with
        every fault.
        """
    def order_range_for(
        self, /, low: Salvaged, likely: Salvaged, high: Salvaged
    ) -> tuple[Order, Order, Order]:
        """
        The order of `order_for` on the low, the likely and the high count of each item, for what the tape's tolerance is
        worth: hand in the salvage of each. Raises `OrderError` with every fault.
        """
    @property
    def price_file(self, /) -> str | None:
        """
        The name of a price list beside the document, if it names one.
        """
    @staticmethod
    def schema() -> str:
        """
        The JSON schema of the document, as JSON text.
        """
    def second_deliveries(self, /, made: Order, delivery: Decimal) -> list[tuple[str, list[DeliveryChoice]]]:
        """
        For each line of an order whose breakage is stated, as (item, choices): what each number to order costs on
        average, if a second delivery costs so much. Raises `OrderError` with every fault.
        """
    def to_json(self, /) -> str:
        """
        The document as JSON text.
        """
    def to_toml(self, /) -> str:
        """
        The document as TOML text.
        """
    def with_bar_prices(self, /, take_off: TakeOff) -> TakeOff:
        """
        The take-off with its bars of batten chosen by the prices of this document, if each length on sale has one: its
        `cut_battens` is the cutting list that goes with an order. That bars may come in bundles is not looked at.
        """
    def with_csv(self, /, text: str) -> OrderDocument:
        """
        The document with the rows of a price list in comma-separated text. Raises `OrderError` with every cell that
        cannot be read.
        """
    def workbook(self, /, salvaged: Salvaged) -> bytes:
        """
        The order as the bytes of an .xlsx workbook, in which the figures follow what is changed. Raises `OrderError` with
        every fault.
        """

@final
class OrderLine:
    """
    One line of an order.
    """
    def __repr__(self, /) -> str: ...
    @property
    def chance_short(self, /) -> float | None:
        """
        The chance that breakages use up more than the surplus, where a breakage is stated.
        """
    @property
    def description(self, /) -> str:
        """
        In words.
        """
    @property
    def item(self, /) -> str:
        """
        What it is.
        """
    @property
    def loose(self, /) -> int:
        """
        Single ones beside them.
        """
    @property
    def mass_kg(self, /) -> Decimal | None:
        """
        The mass in kilograms, where that of one is known, as a `decimal.Decimal`.
        """
    @property
    def needed(self, /) -> int:
        """
        How many are needed.
        """
    @property
    def net(self, /) -> Decimal:
        """
        After discounts, before tax, as a `decimal.Decimal`.
        """
    @property
    def ordered(self, /) -> int:
        """
        How many are ordered.
        """
    @property
    def packs(self, /) -> int:
        """
        Full packs in that.
        """
    @property
    def surplus(self, /) -> int:
        """
        How many are ordered beyond the need.
        """
    @property
    def tax(self, /) -> Decimal:
        """
        The tax, as a `decimal.Decimal`.
        """
    @property
    def wanted(self, /) -> int:
        """
        How many are wanted with spare.
        """
    @property
    def working(self, /) -> list[Working]:
        """
        How it was reached.
        """

@final
class Placing:
    """
    The best places for the openings of a slope that may be moved.
    """
    def __repr__(self, /) -> str: ...
    @property
    def cut_after(self, /) -> int:
        """
        Units cut in the best places.
        """
    @property
    def cut_before(self, /) -> int:
        """
        Units cut as surveyed.
        """
    @property
    def finding(self, /) -> Finding:
        """
        What to tell the reader.
        """
    @property
    def left_out(self, /) -> list[str]:
        """
        Openings that were not tried, because they touch an edge or another opening already.
        """
    @property
    def moves_mm(self, /) -> list[tuple[str, float, float]]:
        """
        The openings that may be moved, as (name, to the right, up the slope) in millimetres.
        """
    @property
    def places(self, /) -> int:
        """
        How many places were tried.
        """
    @property
    def slope(self, /) -> str:
        """
        The slope.
        """
    @property
    def too_many(self, /) -> bool:
        """
        Whether there are more places than are tried; then no opening moves.
        """
    @property
    def working(self, /) -> Working:
        """
        How it was found.
        """

@final
class SalvageDocument:
    """
    What came off, how to reckon with it and how to share it out, as a document.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    @staticmethod
    def from_json(text: str) -> SalvageDocument:
        """
        Reads a salvage document from JSON text. Raises `SalvageError` with every part that cannot be read.
        """
    @staticmethod
    def from_toml(text: str) -> SalvageDocument:
        """
        Reads a salvage document from TOML text. Raises `SalvageError` with every part that cannot be read.
        """
    def reckon(self, /, *take_offs: "TakeOff") -> Salvaged:
        """
        Counts, checks and shares out what came off among the take-offs of one job. Raises `SalvageError` with every
        fault.
        """
    def reckon_needs(self, /, needs: SupportsGetItem[int, Need]) -> Salvaged:
        """
        Counts, checks and shares out what came off among needs that are stated one by one. Raises `SalvageError` with
        every fault.
        """
    @staticmethod
    def schema() -> str:
        """
        The JSON schema of the document, as JSON text.
        """
    def to_json(self, /) -> str:
        """
        The document as JSON text.
        """
    def to_toml(self, /) -> str:
        """
        The document as TOML text.
        """
    def with_tally(self, /, tally: Tally) -> SalvageDocument:
        """
        The document with what a tally has counted. Raises `SalvageError` if the tally contradicts itself.
        """

@final
class Salvaged:
    """
    Who gets the old units, what is short, what is held back, and the ways out.
    """
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str: ...
    @property
    def answer(self, /) -> list[str]:
        """
        Whether the old units are enough, in a few lines; the first says it for all of them.
        """
    @property
    def findings(self, /) -> list[Finding]:
        """
        What the reader must know.
        """
    @property
    def is_enough(self, /) -> bool:
        """
        Whether nothing must be bought.
        """
    @staticmethod
    def schema() -> str:
        """
        The JSON schema of the result, as JSON text.
        """
    def table(self, /, name: str = "shortages") -> Table:
        """
        A table: shortages, supplies, needs, reserves, checks, fits, alternatives, findings or load. Raises `OutputError`
        for another name.
        """
    @property
    def to_buy(self, /) -> dict[str, int]:
        """
        How many must be bought, by unit; units of which none is short are left out.
        """
    def to_json(self, /) -> str:
        """
        The whole result as JSON text.
        """

@final
class SlopeLayout:
    """
    How one slope is set out. Lengths are on the slope.
    """
    def __repr__(self, /) -> str: ...
    def _repr_svg_(self, /) -> str:
        """
        The slope to scale, as `TakeOff.drawing` draws it.
        """
    @property
    def course_cells_m(self, /) -> list[tuple[int, str, float, float, float, float]]:
        """
        The courses as (number, kind, low, high, origin of the cells, width of a cell) in metres.
        """
    @property
    def course_stretches_m(self, /) -> list[tuple[float, float] | None]:
        """
        Where each of these courses lies, as (from, to) along the eaves in metres; None if it goes all the way. A cell
        belongs to the course if more than a hundredth of its width lies there.
        """
    @property
    def cover_width_mm(self, /) -> float:
        """
        The cover width in millimetres.
        """
    @property
    def covered_area_m2(self, /) -> float:
        """
        The covered area in square metres.
        """
    @property
    def covered_rings_m(self, /) -> list[list[tuple[float, float]]]:
        """
        The rings of the covered region as (u, v) in metres: outlines anticlockwise, holes clockwise.
        """
    @property
    def covering(self, /) -> str:
        """
        The key of its covering.
        """
    @property
    def gauge_mm(self, /) -> float:
        """
        The gauge in millimetres.
        """
    @property
    def gross_area_m2(self, /) -> float:
        """
        The area of the slope as surveyed, openings not deducted [m2].
        """
    @property
    def headlap_mm(self, /) -> float:
        """
        The headlap that the gauge leaves, in millimetres.
        """
    @property
    def outline_m(self, /) -> list[tuple[float, float]]:
        """
        The corners of the slope as surveyed, anticlockwise, as (to the right, up the slope) [m].
        """
    @property
    def pitch_deg(self, /) -> float:
        """
        Its pitch in degrees.
        """
    @property
    def slope(self, /) -> str:
        """
        The slope.
        """
    @property
    def tape_m(self, /) -> list[tuple[str, float, float]] | None:
        """
        The measures of a tape survey as (name, measured, laid) [m]; None for other shapes.
        """
    @property
    def tape_rms_m(self, /) -> float | None:
        """
        The root of the mean square of what the tape's measures leave over [m].
        """
    @property
    def working(self, /) -> list[Working]:
        """
        The working, in the order of the work.
        """

@final
class Survey:
    """
    A survey: the covering that is wanted, and the slopes as measured.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str:
        """
        The slopes as they are checked; or every fault.
        """
    @staticmethod
    def blank_workbook() -> bytes:
        """
        The bytes of an .xlsx workbook to fill in, with notes and with lists to choose from.
        """
    def check(self, /) -> None:
        """
        Checks the survey. Raises `SurveyError` with every fault in `faults`.
        """
    @staticmethod
    def from_json(text: str) -> Survey:
        """
        Reads a survey from JSON text. Raises `SurveyError` if the text is not JSON.
        """
    @staticmethod
    def from_toml(text: str) -> Survey:
        """
        Reads a survey from TOML text. Raises `SurveyError` if the text is not TOML.
        """
    @staticmethod
    def from_workbook(data: bytes) -> Survey:
        """
        Reads a survey from the bytes of an .xlsx workbook and checks it. Raises `SurveyError` with every fault, each with
        its sheet and cell.
        """
    @staticmethod
    def schema() -> str:
        """
        The JSON schema of the survey document, as JSON text.
        """
    def take_off(self, /) -> TakeOff:
        """
        Takes the roof off: tiles, battens, underlay and fixings. Raises `SurveyError` or `SetOutError` with every fault.
        """
    def tape_range(self, /, tolerance_mm: SupportsFloat | SupportsIndex = 10.0) -> TapeRange:
        """
        Takes the roof off three times: as measured, and with every measured length shorter and longer by a tolerance in
        millimetres. Raises as `take_off` does.
        """
    def to_json(self, /) -> str:
        """
        The survey as JSON text.
        """
    def to_toml(self, /) -> str:
        """
        The survey as TOML text.
        """
    def to_workbook(self, /) -> bytes:
        """
        The survey as the bytes of an .xlsx workbook. Raises `SurveyError` if it holds what tables cannot say.
        """

@final
class Table:
    """
    A table of plain columns. polars, pandas, pyarrow and `DuckDB` read it through the Arrow interface.
    """
    def __arrow_c_stream__(self, /, requested_schema: "object | None" = None) -> "object":
        """
        The table as an Arrow stream in a capsule, for whatever reads those.
        """
    def __len__(self, /) -> int: ...
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str: ...
    @property
    def column_names(self, /) -> list[str]:
        """
        The names of the columns; a column of figures has its unit at the end.
        """
    @property
    def meanings(self, /) -> dict[str, str]:
        """
        What each column means.
        """
    @property
    def name(self, /) -> str:
        """
        What the table holds.
        """
    def records(self, /) -> "list[dict[str, Any]]":
        """
        The rows as a list of dictionaries: texts, whole numbers, figures and decimals by the names of the columns.
        """
    def to_csv(self, /) -> str:
        """
        The table as CSV text.
        """
    def to_markdown(self, /) -> str:
        """
        The table as Markdown text.
        """

@final
class TakeOff:
    """
    The quantities of a roof, with their working and findings.
    """
    def __arrow_c_stream__(self, /, requested_schema: "object | None" = None) -> "object":
        """
        The lines as an Arrow stream in a capsule, for whatever reads those.
        """
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str: ...
    def cut_battens(self, /) -> Cutting:
        """
        Cuts the battens of every slope from stock, with joints over rafters only. Raises `StockError` with every fault, one
        of them if the survey states no rafter spacing.
        """
    def drawing(
        self,
        /,
        slope: str | None = None,
        *,
        layers: str | SupportsGetItem[int, str] | None = None,
        prefix: str = "",
    ) -> Drawing:
        """
        A slope to scale in its own plane. `layers` are words of `drawing_layers()`, or one of them; by default units,
        openings and dimensions. The name may be left out for a roof of one slope. With the layer battens the joints are
        drawn too, where they can be cut. `prefix` begins every id of the drawing. Raises `OutputError` for an unknown slope
        or layer.
        """
    @property
    def findings(self, /) -> list[Finding]:
        """
        What the reader must know, departures first.
        """
    @property
    def joints(self, /) -> list[Joint]:
        """
        The edges that two slopes share, each once.
        """
    def length_list(self, /) -> list[str]:
        """
        The cutting lists of what else goes by length, line by line: counter-battens, ridge and hip battens, fillets and lead
        where the survey says in which lengths they are bought, and undercloak strips. Raises `StockError` if a piece is longer
        than all of them.
        """
    @property
    def lines(self, /) -> list[Line]:
        """
        The lines, slope by slope, each with its working.
        """
    @property
    def name(self, /) -> str:
        """
        What the job is called.
        """
    @property
    def needs(self, /) -> list[Need]:
        """
        The units of covering that each slope needs, as salvage takes them.
        """
    @property
    def placing(self, /) -> list[Placing]:
        """
        The best places for the openings that may be moved, slope by slope. Every place at the stated step is tried, so
        this takes longer the more of them there are.
        """
    def plan_drawing(self, /, *, prefix: str = "") -> Drawing:
        """
        The roof in plan.
        """
    @staticmethod
    def schema() -> str:
        """
        The JSON schema of the result document, as JSON text.
        """
    @property
    def slopes(self, /) -> list[SlopeLayout]:
        """
        How each slope is set out.
        """
    def table(self, /, name: str = "lines") -> Table:
        """
        A table: lines, courses, battens, underlay, edges, findings or measured. Raises `OutputError` for another name.
        """
    def timber_list(self, /) -> list[str]:
        """
        The cutting list of the timbers round openings, line by line; empty where the survey does not say in which lengths
        they are bought. Raises `StockError` if one is longer than all of them.
        """
    def to_json(self, /, cutting: Cutting | None = None) -> str:
        """
        The whole result as JSON text, with the battens cut from stock if that is handed in.
        """

@final
class Tally:
    """
    The counts of a job through its days. The order of the lines does not matter, and a line that is there twice counts
    once.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __len__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(cls, /) -> Tally: ...
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str:
        """
        The counts by day and unit; where lines contradict each other, which.
        """
    def add(self, /, entry: TallyEntry) -> Tally:
        """
        The tally with one more entry. Raises `SalvageError` if it is not one.
        """
    def by_day(self, /) -> Table:
        """
        The counts by day and unit, as a table. Raises `SalvageError` if lines contradict each other.
        """
    @property
    def entries(self, /) -> list[TallyEntry]:
        """
        Every entry, in the order of the ids.
        """
    def merge(self, /, other: Tally) -> Tally:
        """
        Both tallies together. It does not matter which is which, nor how often it is done.
        """
    @staticmethod
    def read(text: str) -> Tally:
        """
        Reads a tally from its text. Raises `SalvageError` with every line that cannot be read.
        """
    @staticmethod
    def recover(text: str) -> tuple[Tally, list[Fault]]:
        """
        Reads what can be read of a damaged tally; also returns the faults of the other lines.
        """
    def standing(self, /) -> list[TallyEntry]:
        """
        The entries that hold: of a line and its corrections the last. Raises `SalvageError` if lines contradict each other.
        """
    def text(self, /) -> str:
        """
        The tally as text, in the order of the ids.
        """

@final
class TallyEntry:
    """
    One count in a tally.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __new__(
        cls,
        /,
        *,
        id: str,
        unit: str,
        count: SupportsIndex,
        grade: str = ...,
        who: str = ...,
        time: str = ...,
        corrects: str | None = None,
    ) -> TallyEntry: ...
    def __repr__(self, /) -> str: ...
    @property
    def corrects(self, /) -> str | None:
        """
        The id of the line in whose place it stands.
        """
    @property
    def count(self, /) -> int:
        """
        How many.
        """
    @property
    def grade(self, /) -> str:
        """
        The grade: sound, doubtful or broken.
        """
    @property
    def id(self, /) -> str:
        """
        Its own name, never used again.
        """
    def line(self, /) -> str:
        """
        The entry as a line of a tally, checked. Raises `SalvageError` if it is not one.
        """
    @property
    def time(self, /) -> str:
        """
        When, year first.
        """
    @property
    def unit(self, /) -> str:
        """
        The unit.
        """
    @property
    def who(self, /) -> str:
        """
        Who counted, or which stack.
        """

@final
class TapeRange:
    """
    A roof taken off three times: with every measured length shorter by the tape's tolerance, as measured, and longer.
    """
    def __repr__(self, /) -> str: ...
    def _repr_html_(self, /) -> str: ...
    @property
    def high(self, /) -> TakeOff:
        """
        The take-off with every measured length longer.
        """
    @property
    def likely(self, /) -> TakeOff:
        """
        The take-off as measured.
        """
    @property
    def low(self, /) -> TakeOff:
        """
        The take-off with every measured length shorter.
        """
    def table(self, /) -> Table:
        """
        Everything that the roof takes, with its low, likely and high count.
        """
    @property
    def tolerance_mm(self, /) -> float:
        """
        By how much each length may be off, in millimetres.
        """

@final
class Working:
    """
    One step of the working: the formula, the numbers put in, the result, the rule and its source.
    """
    def __eq__(self, value: object, /) -> bool: ...
    def __hash__(self, /) -> int: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __repr__(self, /) -> str: ...
    def __str__(self, /) -> str: ...
    @property
    def formula(self, /) -> str:
        """
        The formula in words.
        """
    @property
    def numbers(self, /) -> str:
        """
        The same with the numbers put in.
        """
    @property
    def result(self, /) -> str:
        """
        The result with its unit.
        """
    @property
    def rule(self, /) -> str:
        """
        The rule that it follows.
        """
    @property
    def source(self, /) -> str:
        """
        Where the rule or the figures come from.
        """
    @property
    def text(self, /) -> str:
        """
        All of it in a sentence, as `str` gives it.
        """
    @property
    def what(self, /) -> str:
        """
        What is worked out.
        """

def batch_of(
    rows: Any,
    survey: Survey,
    *,
    units_only: bool = False,
    lines: bool = False,
    threads: SupportsIndex | None = None,
) -> Batch:
    """
    Takes off every row of a table of slopes, on all cores. What all rows share is the survey; its slopes are not looked at.
    Raises `SurveyError` if the survey has faults or a column is of the wrong kind; a row with faults is in `errors`.
    """

def batches_of(
    rows: Any,
    survey: Survey,
    *,
    units_only: bool = False,
    lines: bool = False,
    threads: SupportsIndex | None = None,
    rows_at_once: SupportsIndex = 131072,
) -> Batches:
    """
    Takes off a table of slopes some rows at a time. See `batch_of`.
    """

def covering_keys() -> list[tuple[str, str]]:
    """
    The keys of the coverings of the built-in catalogue, with their names.
    """

def drawing_layers() -> list[str]:
    """
    The words of the layers that a drawing of a slope may have, from the lowest.
    """

def fault_kinds() -> list[tuple[str, str, str]]:
    """
    Every kind of fault: its code, the exception raised for it, and what it means. In a document, an amount or a format
    that is wrong raises the exception of the document.
    """

def inspect_heap(
    *,
    lot: SupportsIndex,
    inspected: SupportsIndex,
    sound: SupportsIndex,
    sureness: SupportsFloat | SupportsIndex = 0.95,
) -> HeapInspection:
    """
    What a sample says of a heap: how many are sound at the least, and most likely. Raises `SalvageError` if the counts do
    not fit one another.

    Args:
        lot: How many there are.
        inspected: How many of them were inspected, drawn from all over the heap.
        sound: How many of those were sound.
        sureness: How sure the bound is to hold; 0.95 is 95 %.
    """

def length_mm(text: str) -> float:
    """
    Reads a length with its unit, such as "13 ft 7 1/2 in", in millimetres. Raises `QuantityError`.
    """

def page(*take_offs: "TakeOff", salvaged: Salvaged | None = None, order: Order | None = None) -> str:
    """
    The job as one HTML file that needs no network: the answer first, the take-off with its working, the drawings, the
    cutting list, the order, and a tally that stays in the browser.
    """

def pitch_deg(text: str) -> float:
    """
    Reads a pitch, such as "40 deg" or "9 in 12", in degrees. Raises `QuantityError`.
    """

def second_delivery(
    *,
    need: SupportsIndex,
    breakage_percent: Decimal,
    price_each: Decimal,
    delivery: Decimal,
    pack: SupportsIndex = 1,
    worth_left_over_percent: Decimal = ...,
) -> list[DeliveryChoice]:
    """
    How many to order where running out means a second delivery: each choice with its average cost, from the least that
    could be enough upwards, a pack at a time. Raises `OrderError` with every fault.
    """

def study_of(
    rows: Any,
    survey: Survey,
    *,
    pitches_deg: SupportsGetItem[int, SupportsFloat | SupportsIndex],
    coverings: SupportsGetItem[int, str],
    gauges_mm: SupportsGetItem[int, SupportsFloat | SupportsIndex],
    eaves_overhangs_mm: SupportsGetItem[int, SupportsFloat | SupportsIndex],
    keeps_plan: bool = True,
    units_only: bool = False,
    threads: SupportsIndex | None = None,
) -> Batch:
    """
    Takes off every slope of a table under every combination of some pitches, coverings, gauges and overhangs. An empty list
    leaves what the slope has. Raises `SurveyError` if a row cannot be read.
    """

__all__ = [
    "ArrowTable",
    "Batch",
    "Batches",
    "CatalogueError",
    "CityModel",
    "Cutting",
    "DeliveryChoice",
    "Drawing",
    "Fault",
    "Finding",
    "HeapInspection",
    "Joint",
    "Line",
    "Need",
    "Order",
    "OrderDocument",
    "OrderError",
    "OrderLine",
    "OutputError",
    "Placing",
    "QuantityError",
    "SalvageDocument",
    "SalvageError",
    "Salvaged",
    "SetOutError",
    "SlopeLayout",
    "SlopewrightError",
    "StockError",
    "Survey",
    "SurveyError",
    "Table",
    "TakeOff",
    "Tally",
    "TallyEntry",
    "TapeRange",
    "Working",
    "__version__",
    "batch_of",
    "batches_of",
    "covering_keys",
    "drawing_layers",
    "fault_kinds",
    "inspect_heap",
    "length_mm",
    "page",
    "pitch_deg",
    "second_delivery",
    "study_of",
]

class SlopewrightError(ValueError):
    """
    Something is wrong with an input. `faults` lists everything that is.
    """

    faults: tuple[Fault, ...]

class CatalogueError(SlopewrightError):
    """
    A catalogue of formats has faults.
    """

class OrderError(SlopewrightError):
    """
    An order has faults.
    """

class OutputError(SlopewrightError):
    """
    A result cannot be written.
    """

class QuantityError(SlopewrightError):
    """
    A text cannot be read as a length, a pitch or another amount.
    """

class SalvageError(SlopewrightError):
    """
    Counts of old units have faults.
    """

class SetOutError(SlopewrightError):
    """
    A slope cannot be set out.
    """

class StockError(SlopewrightError):
    """
    Pieces cannot be cut from the stock.
    """

class SurveyError(SlopewrightError):
    """
    A survey has faults.
    """

__version__: str
