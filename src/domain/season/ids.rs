//! Names by which the parts of a season refer to each other.
//!
//! Their text is shared: a season is copied at every edit, and each warning names what it is about.

use any_ascii::any_ascii;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

/// The longest id that is made from a name.
const LONGEST: usize = 32;

/// An id that is free, made from a name: `07 Bing` becomes `07-bing`, `Pêche, nord` `peche-nord`.
/// It holds a to z, 0 to 9 and `-` alone: ids are typed, stand in messages and name files.
pub fn free_id(name: &str, otherwise: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let plain = any_ascii(name).to_ascii_lowercase();
    let words: Vec<&str> = plain
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let base: String = words.join("-").chars().take(LONGEST).collect();
    let base = match base.trim_end_matches('-') {
        "" => otherwise,
        base => base,
    };
    let mut id = base.to_owned();
    let mut n = 2;
    while is_taken(&id) {
        id = format!("{base}-{n}");
        n += 1;
    }
    id
}

macro_rules! id {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(from = "String", into = "String")]
        pub struct $name(Arc<str>);

        impl $name {
            /// The name as text.
            pub fn as_str(&self) -> &str { &self.0 }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self { Self(text.into()) }
        }

        impl From<String> for $name {
            fn from(text: String) -> Self { Self(text.into()) }
        }

        impl From<$name> for String {
            fn from(id: $name) -> Self { id.as_str().to_owned() }
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ids_are_made_from_names() {
        let free = |name: &str| free_id(name, "new", |_| false);
        assert_eq!(free("07 Bing, east"), "07-bing-east");
        assert_eq!(free("Pêche, nord"), "peche-nord");
        assert_eq!(free("Яблоня"), "yablonya");
        assert_eq!(free(" ,"), "new");
        assert_eq!(free_id("a", "new", |id| id == "a"), "a-2");
        assert_eq!(free_id("", "new", |id| id == "new"), "new-2");
    }

    proptest! {
        #[test]
        fn whatever_the_name_an_id_is_plain(name in "\\PC*", other in any::<String>()) {
            for name in [name, other] {
                let id = free_id(&name, "new", |id| !id.ends_with("-3"));
                prop_assert!(id.len() <= LONGEST + 2 && id.ends_with("-3"));
                prop_assert!(!id.starts_with('-'));
                prop_assert!(id.bytes().all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-')));
            }
        }
    }
}
