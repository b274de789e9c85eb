//! The columns of a batch of slopes: found by name, held to a kind, and read row by row without copying.

use core::ops::Range;

use arrow_array::cast::AsArray as _;
use arrow_array::types::{
    ArrowPrimitiveType, Decimal128Type, Float32Type, Float64Type, Int8Type, Int16Type, Int32Type, Int64Type,
    UInt8Type, UInt16Type, UInt32Type, UInt64Type,
};
use arrow_array::{Array, ArrayRef, Float64Array, Int64Array, PrimitiveArray, RecordBatch};
use arrow_schema::{DataType, Schema};
use slopewright::batch::{Measures, Rows, read_polygon};
use slopewright::survey::outline::{Point, Ring};
use slopewright::{Error, Fault, FaultKind, Result};

/// The columns that rows may have, with what each must be.
pub(crate) const COLUMNS: &[(&str, &str)] = &[
    ("id", "texts or whole numbers"),
    ("shape", "texts"),
    ("corners_m", "lists of pairs of figures"),
    ("outline_wkb", "bytes"),
    ("openings_m", "lists of lists of pairs of figures"),
    ("eaves_m", "figures"),
    ("ridge_m", "figures"),
    ("rafter_m", "figures"),
    ("offset_m", "figures"),
    ("pitch_deg", "figures"),
    ("covering", "texts"),
    ("roles", "lists of texts"),
    ("headlap_mm", "figures"),
    ("gauge_mm", "figures"),
    ("eaves_overhang_mm", "figures"),
    ("verge_overhang_mm", "figures"),
];

/// Columns of a city model's slopes that say nothing of the covering: they are passed over.
const PASSED_OVER: &[&str] =
    &["building", "object", "surface", "face", "facing_deg", "out_of_plane_mm", "area_m2", "plan_area_m2"];

/// A fault for each column that no row may have. Columns whose name begins with an underscore are the user's own.
pub(crate) fn check_names(schema: &Schema) -> Result<()> {
    let known = || COLUMNS.iter().map(|(name, _)| *name);
    let strange = schema.fields().iter().map(|field| field.name()).filter(|name| {
        !name.starts_with('_')
            && !PASSED_OVER.contains(&name.as_str())
            && !known().any(|known| known == name.as_str())
    });
    let faults = strange.map(|name| {
        Fault::new(FaultKind::FieldUnknown, format!("has an unknown column '{name}'"))
            .at("rows")
            .given(name)
            .allowed(known().collect::<Vec<_>>().join(", "))
            .advice("drop the column, give it one of these names, or let its name begin with an underscore")
    });
    Error::check(faults.collect())
}

/// Texts, whichever way they are held.
#[derive(Debug)]
pub(crate) struct Texts(ArrayRef);

impl Texts {
    fn new(array: &ArrayRef) -> Option<Self> {
        let is_text =
            |kind: &DataType| matches!(kind, DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View);
        match array.data_type() {
            kind if is_text(kind) => Some(Self(array.clone())),
            DataType::Null => Some(Self(arrow_array::new_null_array(&DataType::Utf8, array.len()))),
            // Words out of a list of words, such as categories.
            DataType::Dictionary(_, kind) if is_text(kind) => {
                let words = array.as_any_dictionary();
                let keys = words.normalized_keys();
                let values = Self::new(words.values())?;
                let texts = keys
                    .iter()
                    .enumerate()
                    .map(|(at, key)| (!array.is_null(at)).then(|| values.get(*key)).flatten());
                Some(Self(std::sync::Arc::new(texts.collect::<arrow_array::StringArray>())))
            }
            _ => None,
        }
    }

    pub(crate) fn get(&self, at: usize) -> Option<&str> {
        if at >= self.0.len() || self.0.is_null(at) {
            return None;
        }
        Some(match self.0.data_type() {
            DataType::LargeUtf8 => self.0.as_string::<i64>().value(at),
            DataType::Utf8View => self.0.as_string_view().value(at),
            _ => self.0.as_string::<i32>().value(at),
        })
    }
}

/// Figures as doubles; a column of doubles is not copied.
fn figures(array: &ArrayRef) -> Option<Float64Array> {
    fn plain<T: ArrowPrimitiveType>(array: &ArrayRef, figure: impl Fn(T::Native) -> f64) -> Float64Array {
        let array: &PrimitiveArray<T> = array.as_primitive();
        array.iter().map(|value| value.map(&figure)).collect()
    }
    #[expect(clippy::cast_precision_loss, reason = "a length or pitch of that size is refused anyway")]
    Some(match array.data_type() {
        DataType::Float64 => array.as_primitive::<Float64Type>().clone(),
        DataType::Float32 => plain::<Float32Type>(array, f64::from),
        DataType::Int8 => plain::<Int8Type>(array, f64::from),
        DataType::Int16 => plain::<Int16Type>(array, f64::from),
        DataType::Int32 => plain::<Int32Type>(array, f64::from),
        DataType::Int64 => plain::<Int64Type>(array, |value| value as f64),
        DataType::UInt8 => plain::<UInt8Type>(array, f64::from),
        DataType::UInt16 => plain::<UInt16Type>(array, f64::from),
        DataType::UInt32 => plain::<UInt32Type>(array, f64::from),
        DataType::UInt64 => plain::<UInt64Type>(array, |value| value as f64),
        DataType::Decimal128(_, scale) => {
            let divisor = 10_f64.powi(i32::from(*scale));
            plain::<Decimal128Type>(array, |value| value as f64 / divisor)
        }
        DataType::Null => Float64Array::new_null(array.len()),
        _ => return None,
    })
}

fn figure(column: Option<&Float64Array>, at: usize) -> Option<f64> {
    column.filter(|column| at < column.len() && !column.is_null(at)).map(|column| column.value(at))
}

/// Lists, whichever way they are held.
#[derive(Debug)]
struct Lists(ArrayRef);

impl Lists {
    fn new(array: &ArrayRef) -> Option<Self> {
        let is_list = matches!(
            array.data_type(),
            DataType::List(_) | DataType::LargeList(_) | DataType::FixedSizeList(..) | DataType::Null
        );
        is_list.then(|| Self(array.clone()))
    }

    /// Where the list of a row lies among the values; `None` for a row without one.
    fn range(&self, at: usize) -> Option<Range<usize>> {
        if at >= self.0.len() || self.0.is_null(at) {
            return None;
        }
        Some(match self.0.data_type() {
            DataType::List(_) => {
                let list = self.0.as_list::<i32>();
                let end = |offset: i32| usize::try_from(offset).unwrap_or_default();
                let offsets = list.value_offsets();
                end(*offsets.get(at)?)..end(*offsets.get(at + 1)?)
            }
            DataType::LargeList(_) => {
                let list = self.0.as_list::<i64>();
                let end = |offset: i64| usize::try_from(offset).unwrap_or_default();
                let offsets = list.value_offsets();
                end(*offsets.get(at)?)..end(*offsets.get(at + 1)?)
            }
            DataType::FixedSizeList(_, size) => {
                let size = usize::try_from(*size).unwrap_or_default();
                at * size..(at + 1) * size
            }
            _ => return None,
        })
    }

    fn values(&self) -> ArrayRef {
        match self.0.data_type() {
            DataType::List(_) => self.0.as_list::<i32>().values().clone(),
            DataType::LargeList(_) => self.0.as_list::<i64>().values().clone(),
            DataType::FixedSizeList(..) => self.0.as_fixed_size_list().values().clone(),
            _ => arrow_array::new_null_array(&DataType::Null, 0),
        }
    }
}

/// Pairs of figures: lists of two, or structures of two.
#[derive(Debug)]
enum Pairs {
    Lists(Lists, Float64Array),
    Fields(Float64Array, Float64Array),
    None,
}

impl Pairs {
    fn new(array: &ArrayRef) -> Option<Self> {
        match array.data_type() {
            DataType::Null => Some(Self::None),
            DataType::Struct(fields) if fields.len() == 2 => {
                let fields = array.as_struct();
                Some(Self::Fields(figures(fields.column(0))?, figures(fields.column(1))?))
            }
            _ => {
                let lists = Lists::new(array)?;
                let values = figures(&lists.values())?;
                Some(Self::Lists(lists, values))
            }
        }
    }

    fn point(&self, at: usize) -> Option<Point> {
        let (u, v) = match self {
            Self::Lists(lists, values) => {
                let range = lists.range(at).filter(|range| range.len() == 2)?;
                (figure(Some(values), range.start)?, figure(Some(values), range.start + 1)?)
            }
            Self::Fields(us, vs) => (figure(Some(us), at)?, figure(Some(vs), at)?),
            Self::None => return None,
        };
        Some(Point::new(u, v))
    }

    /// The points of a range; a fault for the first that is no pair of figures.
    fn read(&self, range: Range<usize>, ring: &mut Ring, column: &str) -> Result<()> {
        for (number, at) in range.enumerate() {
            let point = self.point(at).ok_or_else(|| {
                Fault::new(FaultKind::CornerNotAPair, "is not a pair of lengths")
                    .at(format!("corner {}", number + 1))
                    .at(column)
                    .allowed("the distance to the right, then the distance up the slope, in metres")
            })?;
            ring.push(point);
        }
        Ok(())
    }
}

/// What rows are called by.
#[derive(Debug)]
pub(crate) enum Ids {
    /// By nothing.
    None,
    /// By texts.
    Texts(Texts),
    /// By whole numbers.
    Numbers(Int64Array),
}

/// The columns of some rows.
#[derive(Debug)]
pub(crate) struct SlopeRows {
    count: usize,
    pub(crate) ids: Ids,
    pub(crate) covering: Option<Texts>,
    shape: Option<Texts>,
    corners: Option<(Lists, Pairs)>,
    outline_wkb: Option<ArrayRef>,
    openings: Option<(Lists, Lists, Pairs)>,
    roles: Option<(Lists, Texts)>,
    eaves: Option<Float64Array>,
    ridge: Option<Float64Array>,
    rafter: Option<Float64Array>,
    offset: Option<Float64Array>,
    pitch: Option<Float64Array>,
    headlap: Option<Float64Array>,
    gauge: Option<Float64Array>,
    eaves_overhang: Option<Float64Array>,
    verge_overhang: Option<Float64Array>,
}

impl SlopeRows {
    /// Finds the columns.
    ///
    /// # Errors
    /// With a fault for each column of the wrong kind.
    pub(crate) fn new(batch: &RecordBatch) -> Result<Self> {
        let mut faults = Vec::new();
        let rows = Self::find(batch, &mut faults);
        Error::check(faults)?;
        Ok(rows)
    }

    fn find(batch: &RecordBatch, faults: &mut Vec<Fault>) -> Self {
        let mut column = Finder { batch, faults };
        Self {
            count: batch.num_rows(),
            ids: column.find("id", ids).unwrap_or(Ids::None),
            covering: column.find("covering", Texts::new),
            shape: column.find("shape", Texts::new),
            corners: column.find("corners_m", |array| {
                let lists = Lists::new(array)?;
                let pairs = Pairs::new(&lists.values())?;
                Some((lists, pairs))
            }),
            outline_wkb: column.find("outline_wkb", |array| {
                let is_bytes = matches!(
                    array.data_type(),
                    DataType::Binary | DataType::LargeBinary | DataType::BinaryView | DataType::Null
                );
                is_bytes.then(|| array.clone())
            }),
            openings: column.find("openings_m", |array| {
                let lists = Lists::new(array)?;
                let rings = Lists::new(&lists.values())?;
                let pairs = Pairs::new(&rings.values())?;
                Some((lists, rings, pairs))
            }),
            roles: column.find("roles", |array| {
                let lists = Lists::new(array)?;
                let texts = Texts::new(&lists.values())?;
                Some((lists, texts))
            }),
            eaves: column.find("eaves_m", figures),
            ridge: column.find("ridge_m", figures),
            rafter: column.find("rafter_m", figures),
            offset: column.find("offset_m", figures),
            pitch: column.find("pitch_deg", figures),
            headlap: column.find("headlap_mm", figures),
            gauge: column.find("gauge_mm", figures),
            eaves_overhang: column.find("eaves_overhang_mm", figures),
            verge_overhang: column.find("verge_overhang_mm", figures),
        }
    }
}

/// The columns that are not called as the field of `Measures` is that they are read into.
const OTHERWISE_CALLED: &[(&str, &str)] = &[
    ("headlap_m", "headlap_mm"),
    ("gauge_m", "gauge_mm"),
    ("eaves_overhang_m", "eaves_overhang_mm"),
    ("verge_overhang_m", "verge_overhang_mm"),
];

impl SlopeRows {
    /// The place of a fault of a row: the column in place of the field of `Measures` that it was read into.
    pub(crate) fn place(&self, at: usize, place: String) -> String {
        let (field, inner) = place.split_once(", ").map_or((place.as_str(), None), |(f, i)| (f, Some(i)));
        let is_wkb = self.outline_wkb.as_ref().is_some_and(|column| !column.is_null(at));
        let has_openings = self.openings.as_ref().is_some_and(|(lists, ..)| lists.range(at).is_some());
        let column = match field {
            "corners" if is_wkb => "outline_wkb",
            "corners" => "corners_m",
            "openings" if is_wkb && !has_openings => "outline_wkb",
            "openings" => "openings_m",
            other => match OTHERWISE_CALLED.iter().find(|(field, _)| *field == other) {
                Some((_, column)) => column,
                None => return place,
            },
        };
        inner.map_or_else(|| column.to_owned(), |inner| format!("{column}, {inner}"))
    }
}

struct Finder<'a> {
    batch: &'a RecordBatch,
    faults: &'a mut Vec<Fault>,
}

impl Finder<'_> {
    fn find<T>(&mut self, name: &str, read: impl FnOnce(&ArrayRef) -> Option<T>) -> Option<T> {
        let array = self.batch.column_by_name(name)?;
        let found = read(array);
        if found.is_none() {
            let wanted = COLUMNS.iter().find(|(known, _)| *known == name).map_or("", |(_, wanted)| *wanted);
            let problem = format!("has a column '{name}' of another kind than it should");
            let fault = Fault::new(FaultKind::FieldWrongType, problem).at("rows");
            self.faults.push(fault.given(array.data_type()).allowed(wanted));
        }
        found
    }
}

fn ids(array: &ArrayRef) -> Option<Ids> {
    fn plain<T: ArrowPrimitiveType>(array: &ArrayRef, id: impl Fn(T::Native) -> Option<i64>) -> Ids {
        let array: &PrimitiveArray<T> = array.as_primitive();
        Ids::Numbers(array.iter().map(|value| value.and_then(&id)).collect())
    }
    if let Some(texts) = Texts::new(array) {
        return Some(Ids::Texts(texts));
    }
    Some(match array.data_type() {
        DataType::Int64 => Ids::Numbers(array.as_primitive::<Int64Type>().clone()),
        DataType::Int32 => plain::<Int32Type>(array, |value| Some(value.into())),
        DataType::Int16 => plain::<Int16Type>(array, |value| Some(value.into())),
        DataType::Int8 => plain::<Int8Type>(array, |value| Some(value.into())),
        DataType::UInt64 => plain::<UInt64Type>(array, |value| i64::try_from(value).ok()),
        DataType::UInt32 => plain::<UInt32Type>(array, |value| Some(value.into())),
        DataType::UInt16 => plain::<UInt16Type>(array, |value| Some(value.into())),
        DataType::UInt8 => plain::<UInt8Type>(array, |value| Some(value.into())),
        _ => return None,
    })
}

impl Rows for SlopeRows {
    fn count(&self) -> usize {
        self.count
    }

    fn read(&self, at: usize, measures: &mut Measures) -> Result<()> {
        let text = |column: &Option<Texts>, into: &mut String| {
            if let Some(text) = column.as_ref().and_then(|column| column.get(at)) {
                into.push_str(text);
            }
        };
        text(&self.covering, &mut measures.covering);
        text(&self.shape, &mut measures.shape);
        measures.pitch_deg = figure(self.pitch.as_ref(), at);
        measures.eaves_m = figure(self.eaves.as_ref(), at);
        measures.ridge_m = figure(self.ridge.as_ref(), at);
        measures.rafter_m = figure(self.rafter.as_ref(), at);
        measures.offset_m = figure(self.offset.as_ref(), at);
        let metres = |column: &Option<Float64Array>| figure(column.as_ref(), at).map(|mm| mm / 1000.0);
        measures.headlap_m = metres(&self.headlap);
        measures.gauge_m = metres(&self.gauge);
        measures.eaves_overhang_m = metres(&self.eaves_overhang);
        measures.verge_overhang_m = metres(&self.verge_overhang);
        if let Some((lists, texts)) = &self.roles
            && let Some(range) = lists.range(at)
        {
            range.for_each(|edge| measures.push_role(texts.get(edge).unwrap_or_default()));
        }
        if let Some((lists, pairs)) = &self.corners
            && let Some(range) = lists.range(at)
        {
            pairs.read(range, &mut measures.corners, "corners_m")?;
        }
        if let Some(bytes) = self.outline_wkb.as_ref().and_then(|column| bytes(column, at)) {
            if !measures.corners.is_empty() {
                return Err(outline_twice(measures.corners.len()));
            }
            read_polygon(bytes, &mut measures.corners, &mut measures.openings)
                .map_err(|error| error.at("outline_wkb"))?;
        }
        if let Some((lists, rings, pairs)) = &self.openings
            && let Some(range) = lists.range(at)
        {
            for ring in range {
                let mut opening = Ring::new();
                pairs.read(rings.range(ring).unwrap_or_default(), &mut opening, "openings_m")?;
                measures.openings.push(opening);
            }
        }
        Ok(())
    }
}

/// The fault of a row with its outline both as corners and as bytes.
#[cold]
fn outline_twice(corners: usize) -> Error {
    Fault::new(FaultKind::FieldNotForShape, "is given, and so is 'corners_m'")
        .given(format!("bytes, and {corners} corners"))
        .allowed("one of the two in a row")
        .advice("leave one of them empty in this row")
        .at("outline_wkb")
        .into()
}

fn bytes(column: &ArrayRef, at: usize) -> Option<&[u8]> {
    if column.is_null(at) {
        return None;
    }
    Some(match column.data_type() {
        DataType::LargeBinary => column.as_binary::<i64>().value(at),
        DataType::BinaryView => column.as_binary_view().value(at),
        DataType::Binary => column.as_binary::<i32>().value(at),
        _ => return None,
    })
}
