//! Every kind of fault there is: its code, the part of the library that finds it, and what to do about it.

use core::fmt;

use serde::Serialize;

/// The part of the library that found a fault. Python raises one exception class for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Room {
    /// Text that should be a length, an angle, an amount.
    Quantity,
    /// Formats of coverings, battens, underlays and nails.
    Catalogue,
    /// The survey document.
    Survey,
    /// Setting out: gauge, courses, bond.
    SetOut,
    /// Cutting pieces from stock lengths.
    Stock,
    /// Counting and sharing out old units.
    Salvage,
    /// Packs, prices and the order.
    Order,
    /// Writing results.
    Output,
}

macro_rules! fault_kinds {
    ($( $(#[doc = $doc:literal])+ $variant:ident $code:literal $room:ident $advice:literal; )+) => {
        /// What kind of fault it is. The code is stable and may be matched on by programs.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum FaultKind { $( $(#[doc = $doc])+ $variant, )+ }

        impl FaultKind {
            /// Every kind, in the order of the table.
            pub const ALL: &'static [Self] = &[$( Self::$variant, )+];

            /// The stable code, such as `opening-outside`.
            #[must_use]
            pub const fn code(self) -> &'static str {
                match self { $( Self::$variant => $code, )+ }
            }

            /// The part of the library that reports this kind.
            #[must_use]
            pub const fn room(self) -> Room {
                match self { $( Self::$variant => Room::$room, )+ }
            }

            /// What to do about it, in general; a fault may carry more exact advice of its own.
            #[must_use]
            pub const fn advice(self) -> &'static str {
                match self { $( Self::$variant => $advice, )+ }
            }

            /// One sentence on what the kind means, as in the reference.
            #[must_use]
            pub const fn meaning(self) -> &'static str {
                match self { $( Self::$variant => concat!($($doc),+), )+ }
            }
        }
    };
}

fault_kinds! {
    /// A length, angle or other amount is empty.
    QuantityEmpty "quantity-empty" Quantity "write the figure with its unit, for example \"4150 mm\"";
    /// A text cannot be read as a length.
    LengthUnreadable "length-unreadable" Quantity "write a number and a unit: \"4.15 m\", \"4150 mm\", \"13 ft 7 1/2 in\"";
    /// A number stands without a unit.
    UnitMissing "unit-missing" Quantity "write the unit behind the number, for example \"4150 mm\"";
    /// The unit is not one that this kind of quantity has.
    UnitUnknown "unit-unknown" Quantity "use one of the units listed";
    /// A text cannot be read as a pitch.
    PitchUnreadable "pitch-unreadable" Quantity "write degrees (\"40 deg\") or rise in run (\"9 in 12\")";
    /// A pitch is level, upright or beyond.
    PitchOutOfRange "pitch-out-of-range" Quantity "measure the pitch from level; a wall is not a slope";
    /// A comma may be a decimal sign or a thousands mark.
    CommaAmbiguous "comma-ambiguous" Quantity "write a decimal point, and no mark between thousands: \"4.15 m\" or \"4150 mm\"";
    /// A number is not finite (NaN or infinite).
    NotFinite "not-finite" Quantity "give an ordinary number";
    /// The document is larger than allowed.
    DocumentTooLarge "document-too-large" Survey "split the job into several surveys";
    /// The document is not TOML, or not JSON.
    DocumentUnreadable "document-unreadable" Survey "mend the line that is named; a text stands between double quotes";
    /// The document holds something that cannot be written.
    DocumentNotWritable "document-not-writable" Survey "take out what is not a text, a number, a list or a table";
    /// The document does not say its version.
    VersionMissing "version-missing" Survey "put the version in the first line: slopewright = 1";
    /// The document is of a version that this library does not know.
    VersionUnknown "version-unknown" Survey "use a newer library, or write the document anew in the version named";
    /// A field is not one of this part of the document.
    FieldUnknown "field-unknown" Survey "take the field out, or use one of those listed";
    /// A field that is needed is not there.
    FieldMissing "field-missing" Survey "put the field in";
    /// A field holds the wrong kind of thing.
    FieldWrongType "field-wrong-type" Survey "give what is asked for";
    /// A field is given that the shape or form does not take.
    FieldNotForShape "field-not-for-shape" Survey "take the field out, or choose the shape that has it";
    /// The exposure is not a known word.
    ExposureUnknown "exposure-unknown" Survey "use one of the words listed";
    /// The shape is not a known word.
    ShapeUnknown "shape-unknown" Survey "use one of the words listed; any other slope is an outline";
    /// The form is not a known word.
    FormUnknown "form-unknown" Survey "use one of the words listed; any other roof is stated slope by slope";
    /// Which ends are hipped is not a known word.
    HipsUnknown "hips-unknown" Survey "use one of the words listed";
    /// The role of an edge is not a known word.
    RoleUnknown "role-unknown" Survey "use one of the words listed";
    /// Where the courses start is not a known word.
    StartUnknown "start-unknown" Survey "use one of the words listed";
    /// The bond is neither a known word nor a length under the cover width.
    BondUnknown "bond-unknown" Survey "write half, straight, or the shift as a length";
    /// A name is empty.
    NameEmpty "name-empty" Survey "give a name, or take the field out";
    /// A name is too long.
    NameTooLong "name-too-long" Survey "give a shorter name";
    /// A name holds a control character.
    NameUnprintable "name-unprintable" Survey "write the name on one line, without tabs";
    /// Two slopes or forms have the same name.
    NameRepeated "name-repeated" Survey "give each slope and form a name of its own";
    /// The survey has no slope.
    NoSlopes "no-slopes" Survey "add a [[slope]] or a [[form]]";
    /// The survey has more slopes than allowed.
    TooManySlopes "too-many-slopes" Survey "split the job into several surveys";
    /// The slopes have more courses together than allowed.
    TooManyCourses "too-many-courses" SetOut "split the job into several surveys";
    /// A slope has more openings than allowed.
    TooManyOpenings "too-many-openings" Survey "leave out the small ones, or split the slope";
    /// An outline has more corners than allowed.
    TooManyCorners "too-many-corners" Survey "leave out corners that change the outline by less than the tape can tell";
    /// An outline has fewer than three corners.
    TooFewCorners "too-few-corners" Survey "give at least three corners";
    /// A corner is not a pair of lengths.
    CornerNotAPair "corner-not-a-pair" Survey "write each corner as a pair: [\"1.2 m\", \"3.4 m\"]";
    /// Two neighbouring corners are the same.
    CornerRepeated "corner-repeated" Survey "leave the corner out; the last one joins the first by itself";
    /// An outline turns back on itself.
    OutlineSpike "outline-spike" Survey "leave the corner out, or mend its distances";
    /// Two edges of an outline cross or touch.
    OutlineCrossesItself "outline-crosses-itself" Survey "give the corners in order round the slope, and check their distances";
    /// An outline encloses nothing.
    OutlineWithoutArea "outline-without-area" Survey "check the corners' distances";
    /// A length is negative where it cannot be.
    LengthNegative "length-negative" Survey "give the length without a sign; a clearance has a field of its own";
    /// A length is outside its limits.
    LengthOutOfRange "length-out-of-range" Survey "check the figure and its unit";
    /// A mass is outside its limits.
    MassOutOfRange "mass-out-of-range" Survey "check the figure and its unit";
    /// A whole number is outside its limits.
    CountOutOfRange "count-out-of-range" Survey "check the figure";
    /// An edge is named that the slope does not have.
    EdgeUnknown "edge-unknown" Survey "use one of the names listed";
    /// An edge has an overhang and a clearance.
    EdgeReachTwice "edge-reach-twice" Survey "keep the one that is meant";
    /// An opening is stated by corners and as a rectangle.
    OpeningStatedTwice "opening-stated-twice" Survey "keep the corners with one clearance, or the rectangle";
    /// An opening lies outside its slope.
    OpeningOutside "opening-outside" Survey "check from where the opening was measured, or its size";
    /// Two openings overlap.
    OpeningsOverlap "openings-overlap" Survey "check their places, or state them as one opening with corners";
    /// A tape survey has fewer measures than it takes to lay the slope down.
    TapeTooFew "tape-too-few" Survey "measure a diagonal more, or both: four sides alone do not hold a slope in shape";
    /// The measures of a tape survey cannot all be right.
    TapeDoesNotClose "tape-does-not-close" Survey "measure again, each from where to where it is named";
    /// More stock lengths are stated than allowed.
    TooManyStockLengths "too-many-stock-lengths" Survey "leave out the lengths that are not to be had";
    /// A joint does not name two edges of the roof.
    JointUnreadable "joint-unreadable" Survey "write between = [\"front: right\", \"end: left\"] with names of the survey";
    /// An edge belongs to two joints.
    JointTwice "joint-twice" Survey "an edge has one neighbour: split the edge, or take one joint out";
    /// The two edges of a joint are not of one kind.
    JointRolesDiffer "joint-roles-differ" Survey "give both edges the role of the joint";
    /// The two edges of a joint are not of one length.
    JointLengthsDiffer "joint-lengths-differ" Survey "measure both again, or state a larger tolerance";
    /// The survey has more joints than allowed.
    TooManyJoints "too-many-joints" Survey "split the job into several surveys";
    /// The measures of a form do not go together: hip ends that run past each other, a wing above the main ridge.
    FormDoesNotClose "form-does-not-close" Survey "check length, span and pitches";
    /// A form has a measure, or a slope's details, in two ways.
    FormStatedTwice "form-stated-twice" Survey "keep the one that was measured";
    /// A plan has a gable where none can stand.
    GableUnfit "gable-unfit" Survey "take the gable out, or put it on another edge";
    /// A form has no slope on that side.
    FormHasNoSuchSlope "form-has-no-such-slope" Survey "use one of the sides listed";
    /// A slope has no covering.
    CoveringMissing "covering-missing" Survey "give the survey, or this slope, a covering with a format";
    /// The catalogue does not have the covering.
    CoveringUnknown "covering-unknown" Survey "use one of the keys listed, or add the covering to the survey's own catalogue";
    /// The catalogue does not have the batten.
    BattenUnknown "batten-unknown" Survey "use one of the keys listed, or add the batten to the survey's own catalogue";
    /// The catalogue does not have the underlay.
    UnderlayUnknown "underlay-unknown" Survey "use one of the keys listed, or add the underlay to the survey's own catalogue";
    /// The catalogue does not have the nail.
    NailUnknown "nail-unknown" Survey "use one of the keys listed, or add the nail to the survey's own catalogue";
    /// The catalogue does not have the unit for this edge.
    EdgeUnitUnknown "edge-unit-unknown" Survey "use one of the keys listed, or add the unit to the survey's own catalogue";
    /// The way an edge is made is not a known word.
    EdgeworkUnknown "edgework-unknown" Survey "use one of the words listed";
    /// A code of lead is not one that lead sheet has.
    LeadCodeUnknown "lead-code-unknown" Survey "use one of the codes listed";
    /// The measuring rule is not a known key.
    MeasuringRuleUnknown "measuring-rule-unknown" Survey "use one of the keys listed, or leave it out";
    /// The headlap leaves no gauge to lay the unit to.
    HeadlapTooLarge "headlap-too-large" Survey "check the headlap, or choose a longer unit";
    /// The gauge is larger than the unit can lap.
    GaugeTooLarge "gauge-too-large" Survey "check the gauge, or choose a longer unit";
    /// A lap of the underlay leaves next to nothing of its roll.
    LapTooLarge "lap-too-large" Survey "check the lap, or choose a larger roll";
    /// The least width of a cut is wider than a unit.
    LeastCutTooLarge "least-cut-too-large" Survey "check the width; half a unit is usual";
    /// The kind of an opening is not a known word.
    OpeningKindUnknown "opening-kind-unknown" Survey "use one of the words listed; leave the kind out for a plain opening";
    /// The flue of a chimney is not a known word.
    FlueUnknown "flue-unknown" Survey "use one of the words listed";
    /// An opening has a flue and is neither a chimney nor a pipe.
    FlueNotForOpening "flue-not-for-opening" Survey "take the flue out, or give the opening the kind chimney or pipe";
    /// An opening is to be level with one that is not there.
    LevelAlone "level-alone" Survey "name another opening of the same slope, or give the others the same level_with";
    /// An opening that is there already is to be moved.
    OpeningStays "opening-stays" Survey "take out how far it may move, or existing = true";
    /// The rule for timbers round openings is not a known key.
    TrimmingUnknown "trimming-unknown" Survey "use one of the keys listed";
    /// A file is not a workbook.
    WorkbookUnreadable "workbook-unreadable" Survey "save it as an .xlsx workbook, without a password";
    /// How cut pieces are made is not a known word.
    CutsUnknown "cuts-unknown" Survey "use one of the words listed";
    /// None of the tables of a survey is there.
    TablesMissing "tables-missing" Survey "start from an empty template, and keep the names of its tables";
    /// A table has a column, or a row for a field, that a survey does not have, or has it twice.
    TableColumnUnknown "table-column-unknown" Survey "use a name of those listed, once, or take it out";
    /// A row belongs to nothing that there is.
    TableRowUnplaced "table-row-unplaced" Survey "write the name as it stands in the other table, or # and its number";
    /// A cell holds what cannot be read there.
    TableCellUnreadable "table-cell-unreadable" Survey "write plain text or a number into the cell";
    /// A table has more rows than allowed.
    TableTooLong "table-too-long" Survey "split the job into several surveys";
    /// A catalogue text is larger than the library reads.
    CatalogueTooLarge "catalogue-too-large" Catalogue "split it into several, and add them one after the other";
    /// A catalogue text is not TOML.
    CatalogueUnreadable "catalogue-unreadable" Catalogue "mend the line named; entries are headed [[covering]], [[batten]], [[underlay]], [[nail]]";
    /// A field that an entry needs is missing or empty.
    CatalogueFieldMissing "catalogue-field-missing" Catalogue "add the field, or take the entry from another one with like = \"...\"";
    /// A field is there that the entry does not have.
    CatalogueFieldUnknown "catalogue-field-unknown" Catalogue "check the spelling against the list";
    /// A field holds another kind of value than it should.
    FieldKindWrong "field-kind-wrong" Catalogue "write figures as text with their unit: width = \"165 mm\"";
    /// A word is not one of the few that are known in its place.
    ChoiceUnknown "choice-unknown" Catalogue "use one of the words listed";
    /// A key has signs that keys do not have.
    KeyUnfit "key-unfit" Catalogue "write the key like plain-tile-265x165";
    /// Two entries of one kind have the same key.
    KeyTwice "key-twice" Catalogue "give the new entry a key of its own; like = \"...\" takes over the other's figures";
    /// A figure quotes a source that is not listed.
    SourceUnknown "source-unknown" Catalogue "add a [[source]] with that key, or leave the source out";
    /// An entry refers to another one that is not there.
    EntryUnknown "entry-unknown" Catalogue "use one of the keys listed; an entry can only refer to one above it or in the catalogue";
    /// A figure is outside the limits of its kind.
    FigureOutOfRange "figure-out-of-range" Catalogue "check the figure and its unit";
    /// Two figures of one entry cannot both be right.
    FiguresDisagree "figures-disagree" Catalogue "check both figures; one of them is likely in the wrong unit or field";

    /// Nothing of a slope is left to cover.
    NothingToCover "nothing-to-cover" SetOut "check the clearances of the edges and openings";
    /// Counts do not fit one another: more sound than inspected, more inspected than there are.
    CountUneven "count-uneven" Salvage "count again, or look for figures that changed places";
    /// A count or a list is larger than any site has.
    CountTooLarge "count-too-large" Salvage "check the figure for a slipped digit";
    /// A sureness is not over 0 and under 1.
    SurenessOutOfRange "sureness-out-of-range" Salvage "state how sure you want to be, for example 0.95";
    /// A part of a whole cannot be read, or is not between nothing and the whole.
    PortionUnreadable "portion-unreadable" Salvage "write it in percent: \"5 %\"";
    /// A unit is not written as a format and a kind.
    UnitUnreadable "unit-unreadable" Salvage "write the format and then the kind: \"plain-265x165 whole\"";
    /// A size or a tolerance is too small to be one.
    SizeOutOfRange "size-out-of-range" Salvage "measure the unit again";
    /// Old units are to be cut to something that cannot be cut from them.
    CutDownImpossible "cut-down-impossible" Salvage "allow only cuts that the trade makes, or buy the unit";
    /// A slope or roof is given a rank that the job does not have.
    RankUnknown "rank-unknown" Salvage "use one of the names listed, or take the rank out";
    /// The same slopes of the same roof are handed in more than once.
    RoofRepeated "roof-repeated" Salvage "hand each roof in once, or give two that are alike names of their own";
    /// A line of a tally cannot be read.
    TallyUnreadable "tally-unreadable" Salvage "mend the line, or write the count again as a new line";
    /// A line of a tally was not written to its end.
    TallyTorn "tally-torn" Salvage "write that count again as a new line";
    /// Lines of a tally contradict one another.
    TallyConflict "tally-conflict" Salvage "give one of the lines an id of its own";
    /// A salvage document, or a part of it, cannot be read.
    SalvageUnreadable "salvage-unreadable" Salvage "mend the part that is named; texts stand between double quotes";
    /// Something is wanted that has no price.
    PriceMissing "price-missing" Order "add it to the price list under the same name";
    /// A price list cannot be read.
    PriceUnreadable "price-unreadable" Order "mend the cell or the heading";
    /// A price, a pack or another figure of an order is out of range.
    PriceOutOfRange "price-out-of-range" Order "check the figure for a slipped digit or sign";
    /// An item has more than one price.
    PriceTwice "price-twice" Order "keep one of the rows, or give them names of their own";
    /// A currency is not written as one.
    CurrencyUnknown "currency-unknown" Order "write the three letters of the currency, for example EUR";
    /// An amount is too large to be reckoned exactly.
    MoneyTooLarge "money-too-large" Order "check the counts and prices for a slipped digit";
    /// No order is large enough for the breakage stated.
    SpareImpossible "spare-impossible" Order "state a lower breakage or a lower sureness";
    /// One unit is heavier than a lift may carry.
    LiftTooSmall "lift-too-small" Order "state what the lift may carry, or the mass of one unit, again";
    /// There is no stock length to cut from.
    StockNone "stock-none" Stock "state at least one length that can be bought";
    /// A stock length or an offcut in hand is out of range.
    StockLengthOutOfRange "stock-length-out-of-range" Stock "check the length and its unit";
    /// Some stock lengths have a price and this one has none.
    StockPriceMissing "stock-price-missing" Stock "give every stock length a price, or none";
    /// A price of a stock length is out of range.
    StockPriceOutOfRange "stock-price-out-of-range" Stock "give the price of one bar";
    /// The bars that can be had do not suffice.
    StockTooLittle "stock-too-little" Stock "raise the limits or add another stock length";
    /// A piece has no length, or an absurd one.
    PieceLengthOutOfRange "piece-length-out-of-range" Stock "check the length and its unit";
    /// A piece is longer than any stock length.
    PieceTooLong "piece-too-long" Stock "join the piece from two, or add a longer stock length";
    /// There are too many pieces for one cutting list.
    PiecesTooMany "pieces-too-many" Stock "cut it in several lists";
    /// The saw kerf is out of range.
    KerfOutOfRange "kerf-out-of-range" Stock "measure the width of the saw cut";
    /// There are no rafters to joint battens on.
    RafterNone "rafter-none" Stock "state the rafters' spacing or their centres";
    /// The rafters' spacing or centres are out of range or out of order.
    RafterOutOfRange "rafter-out-of-range" Stock "give the centres from left to right, in the same measure as the rows";
    /// A run of batten ends before it begins, overlaps its neighbour, or is out of range.
    BattenRunBad "batten-run-bad" Stock "give each run as from and to, from left to right, without overlap";
    /// A run of batten is longer than any stock length and there is no rafter to joint it on.
    BattenRunUnlayable "batten-run-unlayable" Stock "add a longer stock length, or a rafter to joint on";
    /// The rule for joints contradicts itself.
    JointRuleBad "joint-rule-bad" Stock "check the rule's numbers";
    /// Batten rows are not in order from the bottom up.
    BattenRowsUnordered "batten-rows-unordered" Stock "give the rows from the bottom to the top";
    /// Bytes cannot be read as a polygon.
    WkbUnreadable "wkb-unreadable" Survey "write the outline as one polygon, or give its corners";
    /// A city model, or a part of it, cannot be read.
    CityModelUnreadable "city-model-unreadable" Survey "check the file with a validator of its format";
    /// The coordinates of a city model are degrees.
    ReferenceSystemGeographic "reference-system-geographic" Survey "bring the model into a projected reference system first";
    /// An order document, or a part of it, cannot be read.
    OrderUnreadable "order-unreadable" Order "mend the part that is named; prices and masses are texts: price = \"612.50\"";
    /// A drawing is asked for of a slope that the roof does not have.
    DrawingSlopeUnknown "drawing-slope-unknown" Output "use one of the names listed";
    /// A document has more faults than are listed.
    TooManyFaults "too-many-faults" Survey "mend those that are listed first";
    /// A table is asked for that a result does not have.
    TableUnknown "table-unknown" Output "use one of the names listed";
    /// A layer is asked for that drawings do not have.
    LayerUnknown "layer-unknown" Output "use one of the words listed";
}

impl fmt::Display for FaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl Serialize for FaultKind {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}
