//! The stages the estimate can be asked for, on the BBCH scale.

/// A stage of spring growth, earliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Flower buds begin to swell (BBCH 51; leaf buds 01).
    Swell,
    /// Bud burst, green tip (BBCH 53; leaf buds 07).
    Burst,
    /// First flowers open (BBCH 60–61).
    FirstBloom,
    /// Half of the flowers open (BBCH 65).
    FullBloom,
}

impl Stage {
    /// The BBCH number of the stage.
    pub fn bbch(self) -> u8 {
        match self {
            Self::Swell => 51,
            Self::Burst => 53,
            Self::FirstBloom => 61,
            Self::FullBloom => 65,
        }
    }

    /// Plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Swell => "swell",
            Self::Burst => "bud burst",
            Self::FirstBloom => "first bloom",
            Self::FullBloom => "full bloom",
        }
    }

    /// Reads `swell`, `burst`, `bloom` and the longer names.
    pub fn from_text(text: &str) -> Option<Self> {
        match text.trim().to_lowercase().as_str() {
            "swell" | "bud swell" => Some(Self::Swell),
            "burst" | "bud burst" | "green tip" => Some(Self::Burst),
            "bloom" | "first bloom" => Some(Self::FirstBloom),
            "full bloom" => Some(Self::FullBloom),
            _ => None,
        }
    }
}
