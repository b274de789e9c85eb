//! Numbers out of bytes, so that small changes of the bytes are small changes of the input.

/// What is left of some bytes. Past their end everything is zero.
pub(crate) struct Bytes<'a>(pub(crate) &'a [u8]);

impl Bytes<'_> {
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn byte(&mut self) -> u8 {
        self.take::<1>()[0]
    }

    fn take<const N: usize>(&mut self) -> [u8; N] {
        let (taken, rest) = self.0.split_first_chunk().unwrap_or((&[0; N], &[]));
        self.0 = rest;
        *taken
    }

    /// Mostly centimetres or tenths of a millimetre, sometimes any double at all.
    pub(crate) fn number(&mut self) -> f64 {
        match self.byte() {
            0..=150 => f64::from(i16::from_le_bytes(self.take())) / 100.0,
            151..=220 => f64::from(i32::from_le_bytes(self.take())) / 10_000.0,
            _ => f64::from_le_bytes(self.take()),
        }
    }

    pub(crate) fn perhaps(&mut self) -> Option<f64> {
        (self.byte() & 1 == 1).then(|| self.number())
    }

    pub(crate) fn choice<T: Copy>(&mut self, from: &[T]) -> T {
        from[usize::from(self.byte()) % from.len()]
    }
}
