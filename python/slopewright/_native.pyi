"""
The native part of slopewright. Use it through the package.
"""

from typing import final

@final
class Cutting:
    """
    Battens cut from stock, slope by slope.
    """
    def __repr__(self, /) -> str: ...
    @property
    def lines(self, /) -> list[Line]:
        """
        What to buy: a line for each slope and stock length, with how far it is from the least possible.
        """
    def table(self, /, name: str = "cutting") -> Table:
        """
        A table: cutting (equal bars together) or pieces (where each lies). Raises KeyError for another name.
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
class SlopeLayout:
    """
    How one slope is set out. Lengths are on the slope.
    """
    def __repr__(self, /) -> str: ...
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
    def headlap_mm(self, /) -> float:
        """
        The headlap that the gauge leaves, in millimetres.
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
    def schema() -> str:
        """
        The JSON schema of the survey document, as JSON text.
        """
    def take_off(self, /) -> TakeOff:
        """
        Takes the roof off: tiles, battens, underlay and fixings. Raises `SurveyError` or `SetOutError` with every fault.
        """
    def to_json(self, /) -> str:
        """
        The survey as JSON text.
        """
    def to_toml(self, /) -> str:
        """
        The survey as TOML text.
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
    def records(self, /) -> "list[dict[str, str | int | float | None]]":
        """
        The rows as a list of dictionaries.
        """
    def to_csv(self, /) -> str:
        """
        The table as CSV text.
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
        Cuts the battens of every slope from stock, with joints over rafters only. Raises StockError with every fault, one
        of them if the survey states no rafter spacing.
        """
    @property
    def findings(self, /) -> list[Finding]:
        """
        What the reader must know, departures first.
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
        A table: lines, courses, battens, underlay or findings. Raises `KeyError` for another name.
        """
    def to_json(self, /) -> str:
        """
        The whole result as JSON text.
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

def covering_keys() -> list[tuple[str, str]]:
    """
    The keys of the coverings of the built-in catalogue, with their names.
    """

def fault_kinds() -> list[tuple[str, str, str]]:
    """
    Every kind of fault: its code, the exception raised for it, and what it means.
    """

def length_mm(text: str) -> float:
    """
    Reads a length with its unit, such as "13 ft 7 1/2 in", in millimetres. Raises `QuantityError`.
    """

def pitch_deg(text: str) -> float:
    """
    Reads a pitch, such as "40 deg" or "9 in 12", in degrees. Raises `QuantityError`.
    """

__all__ = [
    "CatalogueError",
    "Cutting",
    "Fault",
    "Finding",
    "Line",
    "OrderError",
    "OutputError",
    "QuantityError",
    "SalvageError",
    "SetOutError",
    "SlopeLayout",
    "SlopewrightError",
    "StockError",
    "Survey",
    "SurveyError",
    "Table",
    "TakeOff",
    "Working",
    "__version__",
    "covering_keys",
    "fault_kinds",
    "length_mm",
    "pitch_deg",
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
