//! One field of a document, read leniently.
//!
//! A plain serde structure stops at its first fault. Here every field takes whatever it is given and keeps it, so that
//! the check can report all faults of a document at once, each with its place and what stood there.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value;

/// A field of a document: absent, given, or given as something that the field cannot hold.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Entry<T> {
    /// The document does not have it.
    #[default]
    Absent,
    /// The document has it.
    Given(T),
    /// The document has something else in its place.
    Unreadable(Value),
}

impl<T> Entry<T> {
    /// Whether the document does not have it.
    pub const fn is_absent(&self) -> bool {
        matches!(self, Self::Absent)
    }

    /// What is given, if it can be read.
    pub const fn given(&self) -> Option<&T> {
        match self {
            Self::Given(value) => Some(value),
            Self::Absent | Self::Unreadable(_) => None,
        }
    }

    /// What is given, put there if it is absent, to be changed in place.
    pub fn given_or_new(&mut self) -> &mut T
    where
        T: Default,
    {
        if !matches!(self, Self::Given(_)) {
            *self = Self::Given(T::default());
        }
        match self {
            Self::Given(value) => value,
            // Given just above.
            Self::Absent | Self::Unreadable(_) => unreachable!(),
        }
    }
}

impl<'de, T: DeserializeOwned> Deserialize<'de> for Entry<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(deserializer)?;
        Ok(match T::deserialize(&value) {
            Ok(read) => Self::Given(read),
            Err(_) => Self::Unreadable(value),
        })
    }
}

impl<T: Serialize> Serialize for Entry<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Absent => serializer.serialize_none(),
            Self::Given(value) => value.serialize(serializer),
            Self::Unreadable(value) => value.serialize(serializer),
        }
    }
}

impl<T: JsonSchema> JsonSchema for Entry<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
    fn inline_schema() -> bool {
        T::inline_schema()
    }
}

macro_rules! written {
    ($($(#[doc = $doc:literal])+ $name:ident $schema:literal $example:literal;)+) => {$(
        $(#[doc = $doc])+
        #[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $schema.into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                schemars::json_schema!({ "type": "string", "description": concat!($($doc),+), "examples": [$example] })
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self(text.to_owned())
            }
        }
    )+};
}

written! {
    /// A length with its unit, as written on a tape sheet.
    LengthText "length" "4.15 m";
    /// A pitch: degrees, or rise in run.
    PitchText "pitch" "40 deg";
    /// A mass with its unit.
    MassText "mass" "1.2 kg";
    /// A mass per area with its unit.
    CoverMassText "mass per area" "76 kg/m2";
}

impl From<crate::quantity::Length> for LengthText {
    fn from(length: crate::quantity::Length) -> Self {
        use crate::quantity::LengthIn as _;
        // The shortest text that reads back as the same double.
        Self(format!("{} m", length.m()))
    }
}

impl From<crate::quantity::Pitch> for PitchText {
    fn from(pitch: crate::quantity::Pitch) -> Self {
        Self(format!("{} deg", pitch.degrees()))
    }
}

/// Makes a structure of a document: every field an [`Entry`], fields that are not in the list kept and reported.
macro_rules! document {
    ($(#[$meta:meta])* pub struct $name:ident { $( $(#[doc = $doc:literal])+ $field:ident: $type:ty, )+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[schemars(extend("additionalProperties" = false))]
        #[serde(default)]
        pub struct $name {
            $(
                $(#[doc = $doc])+
                #[serde(skip_serializing_if = "Entry::is_absent")]
                pub $field: Entry<$type>,
            )+
            /// Fields that the document has and this structure does not.
            #[serde(flatten)]
            #[schemars(skip)]
            pub unknown: std::collections::BTreeMap<String, serde_json::Value>,
        }

        impl $name {
            /// The names of its fields.
            pub const FIELDS: &'static [&'static str] = &[$(stringify!($field)),+];
        }
    };
}
pub(crate) use document;
