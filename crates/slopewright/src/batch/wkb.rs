//! Outlines as well-known binary (OGC 06-103r4, simple feature access): one polygon, its first ring the outline and the
//! others openings. Heights and measures are passed over, as is the reference-system number of the extended form.

use crate::error::{Fault, FaultKind, Result};
use crate::survey::outline::{Point, Ring};

/// The number of a polygon; the thousands of the type say which of z and m follow x and y.
const POLYGON: u32 = 3;
/// The marks of the extended form.
const HAS_Z: u32 = 0x8000_0000;
const HAS_M: u32 = 0x4000_0000;
const HAS_SYSTEM: u32 = 0x2000_0000;

/// Reads a polygon: the outline into `corners`, every further ring into `openings`. The repeated last corner of each ring
/// is left out.
///
/// # Errors
/// If the bytes are cut off, or hold anything but one polygon.
pub fn read_polygon(bytes: &[u8], corners: &mut Ring, openings: &mut Vec<Ring>) -> Result<()> {
    let mut reader = Reader { rest: bytes, is_little: true };
    read(&mut reader, corners, openings).map_err(|problem| {
        let fault = Fault::new(FaultKind::WkbUnreadable, problem).given(format!("{} bytes", bytes.len()));
        fault.allowed("one polygon as well-known binary, in metres").into()
    })
}

fn read(
    reader: &mut Reader<'_>,
    corners: &mut Ring,
    openings: &mut Vec<Ring>,
) -> core::result::Result<(), String> {
    reader.is_little = match reader.take::<1>()? {
        [0] => false,
        [1] => true,
        [other] => return Err(format!("has a byte order {other} that is neither 0 nor 1")),
    };
    let kind = reader.number()?;
    if kind & HAS_SYSTEM != 0 {
        reader.number()?;
    }
    let flags = u32::from(kind & HAS_Z != 0) + u32::from(kind & HAS_M != 0);
    let plain = kind & !(HAS_Z | HAS_M | HAS_SYSTEM);
    let (shape, further) = match (plain % 1000, plain / 1000) {
        (shape, 0) => (shape, flags),
        (shape, 1 | 2) => (shape, 1),
        (shape, 3) => (shape, 2),
        _ => return Err(format!("has a geometry {plain} that is not known")),
    };
    if shape != POLYGON {
        return Err(format!("is a geometry {shape} and no polygon (3)"));
    }
    let rings = reader.number()?;
    for ring in 0..rings {
        let count = reader.number()?;
        let needed = u64::from(count) * u64::from(16 + 8 * further);
        if needed > reader.rest.len() as u64 {
            return Err("is cut off".to_owned());
        }
        let mut points = Ring::with_capacity(count as usize);
        for _ in 0..count {
            points.push(Point::new(reader.figure()?, reader.figure()?));
            for _ in 0..further {
                reader.figure()?;
            }
        }
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        if ring == 0 {
            *corners = points;
        } else {
            openings.push(points);
        }
    }
    if !reader.rest.is_empty() {
        return Err(format!("has {} bytes after its end", reader.rest.len()));
    }
    Ok(())
}

struct Reader<'a> {
    rest: &'a [u8],
    is_little: bool,
}

impl Reader<'_> {
    fn take<const N: usize>(&mut self) -> core::result::Result<[u8; N], String> {
        let (taken, rest) = self.rest.split_first_chunk::<N>().ok_or_else(|| "is cut off".to_owned())?;
        self.rest = rest;
        Ok(*taken)
    }

    fn number(&mut self) -> core::result::Result<u32, String> {
        let bytes = self.take()?;
        Ok(if self.is_little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    }

    fn figure(&mut self) -> core::result::Result<f64, String> {
        let bytes = self.take()?;
        Ok(if self.is_little { f64::from_le_bytes(bytes) } else { f64::from_be_bytes(bytes) })
    }
}
