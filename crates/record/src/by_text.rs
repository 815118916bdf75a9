//! Types that are kept as the text they are written as.
//!
//! In: a type that reads its text (`FromStr`) and writes it (`Display`). Out: the same text in TOML and JSON.

/// Keeps a type as its text.
macro_rules! by_text {
    ($kept:ty) => {
        impl serde::Serialize for $kept {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $kept {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <String as serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}

pub(crate) use by_text;
