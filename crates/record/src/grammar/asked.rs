//! What a quantity must be where it stands: its dimension, its bounds, an example.

use quantity::{Currency, Dimension};

/// What a key asks of a quantity.
#[derive(Debug)]
pub(crate) struct Asked {
    /// In words, with article ("a mass").
    pub(crate) word: &'static str,
    pub(crate) sort: Sort,
    pub(crate) bound: Bound,
    /// A good text.
    pub(crate) example: &'static str,
}

/// Dimensions that are accepted.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Sort {
    /// Exactly this one.
    Of(Dimension),
    /// An amount in any currency.
    Money,
    /// A plain number or a number of pieces.
    Number,
    /// Any; a rule that spans several keys decides.
    Any,
}

/// Values that are possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    /// Every value.
    Any,
    /// Zero and above. For temperatures: absolute zero and above.
    NotNegative,
    /// Above zero.
    Positive,
    /// Above zero, up to 1.
    Share,
}

impl Sort {
    pub(crate) fn accepts(self, found: Dimension) -> bool {
        match self {
            Self::Of(d) => found == d,
            Self::Money => Currency::ALL.iter().any(|&c| Dimension::money(c) == found),
            Self::Number => found.is_none() || found == Dimension::COUNT,
            Self::Any => true,
        }
    }
}

const fn of(
    word: &'static str,
    dimension: Dimension,
    bound: Bound,
    example: &'static str,
) -> Asked {
    Asked {
        word,
        sort: Sort::Of(dimension),
        bound,
        example,
    }
}

use Bound::{Any, NotNegative, Positive, Share};

pub(crate) static MASS: Asked = of("a mass", Dimension::MASS, NotNegative, "83.4 g");
pub(crate) static LENGTH: Asked = of("a length", Dimension::LENGTH, Positive, "14 ± 0.05 mm");
pub(crate) static CAMERA_DISTANCE: Asked =
    of("a length", Dimension::LENGTH, Positive, "310 ± 10 mm");
pub(crate) static FOCAL_LENGTH: Asked = of("a length", Dimension::LENGTH, Positive, "26 mm");
pub(crate) static DISTORTION: Asked = of("a share", Dimension::NONE, Share, "0.3 %");
pub(crate) static CAMERA_TILT: Asked = of("an angle", Dimension::NONE, Positive, "2°");
pub(crate) static MARK: Asked = of("a length", Dimension::LENGTH, Any, "10 mm");
pub(crate) static HEIGHT_ABOVE: Asked = of("a length", Dimension::LENGTH, Any, "1.6 ± 0.1 mm");
pub(crate) static FARTHER: Asked = of("a length", Dimension::LENGTH, Any, "0.30 ± 0.02 m");
pub(crate) static TIME: Asked = of("a duration", Dimension::TIME, NotNegative, "3 min");
pub(crate) static RUN_TIME: Asked = of("a duration", Dimension::TIME, Positive, "up to 10 h");
pub(crate) static DELAY: Asked = of("a duration", Dimension::TIME, NotNegative, "60 ms");
pub(crate) static TEMPERATURE: Asked = of(
    "a temperature",
    Dimension::TEMPERATURE,
    NotNegative,
    "80 °C",
);
pub(crate) static CHARGE: Asked = of("a charge", Dimension::CHARGE, Positive, "620 mAh");
pub(crate) static ENERGY: Asked = of("an energy", Dimension::ENERGY, Positive, "2.36 Wh");
pub(crate) static VOLTAGE: Asked = of("a voltage", Dimension::VOLTAGE, Positive, "3.8 V");
pub(crate) static VOLTAGE_READ: Asked = of("a voltage", Dimension::VOLTAGE, Any, "3.812 V");
pub(crate) static CURRENT: Asked = of("a current", Dimension::CURRENT, Positive, "500 mA");
pub(crate) static CURRENT_DRAWN: Asked = of("a current", Dimension::CURRENT, NotNegative, "4.5 mA");
pub(crate) static CURRENT_READ: Asked = of("a current", Dimension::CURRENT, Any, "45.2 mA");
pub(crate) static CHARGE_READ: Asked = of("a charge", Dimension::CHARGE, Any, "604 mAh");
pub(crate) static ENERGY_READ: Asked = of("an energy", Dimension::ENERGY, Any, "2.31 Wh");
pub(crate) static POWER: Asked = of("a power", Dimension::POWER, Positive, "5 W");
pub(crate) static RESISTANCE: Asked =
    of("a resistance", Dimension::RESISTANCE, NotNegative, "85 mΩ");
pub(crate) static LEVEL: Asked = of("a level in decibels", Dimension::LEVEL, Any, "35 dB");
pub(crate) static LUMINOUS_FLUX: Asked = of(
    "a luminous flux",
    Dimension::LUMINOUS_FLUX,
    Positive,
    "200 lm",
);
pub(crate) static ANGLE: Asked = of("an angle", Dimension::NONE, Positive, "120°");
pub(crate) static DUTY: Asked = of("a share", Dimension::NONE, Share, "10 %");
pub(crate) static EFFICIENCY: Asked = of("an efficiency", Dimension::NONE, Share, "88 %");
pub(crate) static RECHARGES: Asked = Asked {
    word: "a plain number",
    sort: Sort::Number,
    bound: Positive,
    example: "up to 3",
};
pub(crate) static MONEY: Asked = Asked {
    word: "an amount of money",
    sort: Sort::Money,
    bound: NotNegative,
    example: "129 EUR",
};
pub(crate) static RATE: Asked = Asked {
    word: "an amount of money",
    sort: Sort::Money,
    bound: Positive,
    example: "0.92 EUR",
};
pub(crate) static WITHIN: Asked = of("a share", Dimension::NONE, Positive, "20 %");
pub(crate) static SHARE_KEPT: Asked = of("a share", Dimension::NONE, Share, "40 %");
pub(crate) static TAX: Asked = of("a share", Dimension::NONE, NotNegative, "19 %");
pub(crate) static ANY: Asked = Asked {
    word: "a quantity",
    sort: Sort::Any,
    bound: Any,
    example: "83.4 g",
};
pub(crate) static STEP_OF: Asked = Asked {
    word: "a quantity",
    sort: Sort::Any,
    bound: Positive,
    example: "0.01 g",
};
pub(crate) static TOLERANCE: Asked = Asked {
    word: "a tolerance",
    sort: Sort::Any,
    bound: NotNegative,
    example: "3 %",
};
