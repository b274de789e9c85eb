//! The layers of a drawing: which are drawn, and which are there but hidden until somebody switches them on.

use crate::error::{Fault, FaultKind, Result};

/// One layer. Each is a group of the SVG; its id is the prefix of the drawing and the layer's word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Layer {
    /// The units as they lie: whole, cut, of one and a half, at the top.
    Units,
    /// The short units under the first course.
    UnderEaves,
    /// The battens and their joints.
    Battens,
    /// The runs of underlay and their laps.
    Underlay,
    /// The rafters and the timbers round openings.
    Rafters,
    /// The openings.
    Openings,
    /// The dimensions.
    Dimensions,
}

impl Layer {
    /// Every layer, from the lowest.
    pub const ALL: [Self; 7] = [
        Self::Units,
        Self::UnderEaves,
        Self::Rafters,
        Self::Battens,
        Self::Underlay,
        Self::Openings,
        Self::Dimensions,
    ];

    /// The layers that are drawn where nothing is said.
    pub const USUAL: [Self; 3] = [Self::Units, Self::Openings, Self::Dimensions];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Units => "units",
            Self::UnderEaves => "under-eaves",
            Self::Battens => "battens",
            Self::Underlay => "underlay",
            Self::Rafters => "rafters",
            Self::Openings => "openings",
            Self::Dimensions => "dimensions",
        }
    }

    /// The layer of a word.
    ///
    /// # Errors
    /// If there is no such layer.
    pub fn from_word(word: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|layer| layer.word() == word).ok_or_else(|| {
            let words: Vec<&str> = Self::ALL.iter().map(|layer| layer.word()).collect();
            Fault::new(FaultKind::LayerUnknown, "is no layer of a drawing")
                .given(format!("\"{word}\""))
                .allowed(words.join(", "))
                .into()
        })
    }
}

/// How a drawing is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawingOptions {
    /// The layers that are drawn.
    pub shown: Vec<Layer>,
    /// Layers that are there but not displayed, for a page that switches them on.
    pub hidden: Vec<Layer>,
    /// What every id of the drawing begins with, so that several can stand in one page. Letters, digits and `-` are
    /// kept.
    pub prefix: String,
}

impl Default for DrawingOptions {
    fn default() -> Self {
        Self { shown: Layer::USUAL.to_vec(), hidden: Vec::new(), prefix: String::new() }
    }
}

impl DrawingOptions {
    /// These layers and no others.
    #[must_use]
    pub fn of(layers: impl IntoIterator<Item = Layer>) -> Self {
        Self { shown: layers.into_iter().collect(), ..Self::default() }
    }

    /// With this in front of every id.
    #[must_use]
    pub fn with_prefix(mut self, prefix: &str) -> Self {
        self.prefix = prefix.chars().filter(|sign| sign.is_ascii_alphanumeric() || *sign == '-').collect();
        self
    }

    /// With every other layer hidden.
    #[must_use]
    pub fn with_all_others_hidden(mut self) -> Self {
        self.hidden = Layer::ALL.into_iter().filter(|layer| !self.shown.contains(layer)).collect();
        self
    }

    /// Whether a layer is in the drawing, hidden or not.
    #[must_use]
    pub fn has(&self, layer: Layer) -> bool {
        self.shown.contains(&layer) || self.hidden.contains(&layer)
    }

    pub(super) fn is_hidden(&self, layer: Layer) -> bool {
        !self.shown.contains(&layer)
    }
}
