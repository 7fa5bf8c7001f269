//! Names by which the parts of a season refer to each other.

use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! id {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// The name as text.
            pub fn as_str(&self) -> &str { &self.0 }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self { Self(text.to_owned()) }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result { f.write_str(&self.0) }
        }
    };
}

id! {
    /// Names a block.
    BlockId
}
id! {
    /// Names a material.
    MaterialId
}
id! {
    /// Names a target.
    TargetId
}
id! {
    /// Names a task.
    TaskId
}
id! {
    /// Names a sprayer.
    SprayerId
}
id! {
    /// Names a person.
    PersonId
}
id! {
    /// Names an application record.
    RecordId
}
