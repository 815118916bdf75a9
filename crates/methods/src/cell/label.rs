//! What a label says about itself: voltage pairs, printed energy, the cell code.
//!
//! In: numbers as printed. Out: whether they fit together.
//! Source of the pairs: data sheets for 3.6/4.2 V, 3.7/4.2 V and 3.2/3.65 V; 4.35 V as a limit from a
//! charging article; 3.85/4.40 V and 3.87/4.45 V are usual in phones and wearables (from memory).

use crate::assumed;

/// A usual pair of nominal and charge-limit voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Nominal voltage, V.
    pub nominal: f64,
    /// Charge-limit voltage, V.
    pub limit: f64,
    /// Where it is usual.
    pub where_seen: &'static str,
    /// Whether it was read in data sheets (else from memory).
    pub read: bool,
}

/// Usual pairs, by limit voltage.
pub const PAIRS: [Pair; 6] = [
    Pair {
        nominal: assumed::PHOSPHATE_VOLTAGES.bounds().0,
        limit: assumed::PHOSPHATE_VOLTAGES.bounds().1,
        where_seen: "lithium iron phosphate",
        read: true,
    },
    Pair {
        nominal: assumed::CELL_VOLTAGES_3_6.bounds().0,
        limit: assumed::CELL_VOLTAGES_3_6.bounds().1,
        where_seen: "button and cylindrical cells",
        read: true,
    },
    Pair {
        nominal: assumed::CELL_VOLTAGES_3_7.bounds().0,
        limit: assumed::CELL_VOLTAGES_3_7.bounds().1,
        where_seen: "pouch and cylindrical cells",
        read: true,
    },
    Pair {
        nominal: assumed::CELL_VOLTAGES_3_8.bounds().0,
        limit: assumed::CELL_VOLTAGES_3_8.bounds().1,
        where_seen: "pouch cells for raised voltage",
        read: false,
    },
    Pair {
        nominal: assumed::CELL_VOLTAGES_3_85.bounds().0,
        limit: assumed::CELL_VOLTAGES_3_85.bounds().1,
        where_seen: "pouch cells of phones and wearables",
        read: false,
    },
    Pair {
        nominal: assumed::CELL_VOLTAGES_3_87.bounds().0,
        limit: assumed::CELL_VOLTAGES_3_87.bounds().1,
        where_seen: "pouch cells of phones",
        read: false,
    },
];

/// How a nominal and a limit voltage go together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PairFit {
    /// A usual pair.
    Usual(Pair),
    /// The nominal voltage is usual with another limit.
    OtherLimit(Pair),
    /// The nominal voltage is not among the usual ones.
    Unknown,
}

/// Compares voltages (V) with the usual pairs; within 5 mV, since labels print two decimals.
pub fn pair(nominal: f64, limit: f64) -> PairFit {
    let near = |a: f64, b: f64| (a - b).abs() <= assumed::LABEL_ROUNDING.number();
    let same_nominal = |p: &&Pair| near(p.nominal, nominal);
    PAIRS
        .iter()
        .filter(same_nominal)
        .find(|p| near(p.limit, limit))
        .map(|p| PairFit::Usual(*p))
        .or_else(|| {
            PAIRS
                .iter()
                .find(same_nominal)
                .map(|p| PairFit::OtherLimit(*p))
        })
        .unwrap_or(PairFit::Unknown)
}

/// A cell code of IEC 61960, 5.1 (`ICP103450`, `ICR18650`, `ICPt73448`), sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct CellCode {
    /// Negative electrode: `I` lithium ion, `L` lithium metal.
    pub negative: char,
    /// Positive electrode: `C` cobalt, `N` nickel, `M` manganese, `V` vanadium, `T` titanium.
    pub positive: char,
    /// `R` cylindrical, `P` prismatic.
    pub shape: char,
    /// Largest diameter or thickness.
    pub first: f64,
    /// Largest width, prismatic only.
    pub width: Option<f64>,
    /// Largest overall height.
    pub height: f64,
}

/// Reads a cell code; `None` if it is none. Sizes are rounded up to whole millimetres, in tenths after
/// a `t`; slashes separate sizes that need more digits.
pub fn cell_code(text: &str) -> Option<CellCode> {
    let text: String = text.trim().chars().take(24).collect();
    let mut letters = text.chars();
    let (negative, positive, shape) = (letters.next()?, letters.next()?, letters.next()?);
    if !("IL".contains(negative) && "CNMVT".contains(positive) && "RP".contains(shape)) {
        return None;
    }
    let body: String = letters.collect();
    let sizes = if body.contains('/') {
        body.split('/')
            .map(millimetres)
            .collect::<Option<Vec<f64>>>()?
    } else if let (Some(tenths), 'P') = (body.strip_prefix('t'), shape) {
        let mut sizes = vec![millimetres(&format!("t{}", tenths.get(..1)?))?];
        sizes.extend(digits(tenths.get(1..)?, &[2, 2])?);
        sizes
    } else if shape == 'P' {
        digits(&body, &[2, 2, 2])?
    } else {
        // 18650: diameter 18, height 65, then the tenth that habit adds.
        let whole = body
            .strip_suffix('0')
            .filter(|b| b.len() == 4)
            .unwrap_or(&body);
        digits(whole, &[2, 2])?
    };
    match (shape, sizes.as_slice()) {
        ('R', [first, height]) => Some(CellCode {
            negative,
            positive,
            shape,
            first: *first,
            width: None,
            height: *height,
        }),
        ('P', [first, width, height]) => Some(CellCode {
            negative,
            positive,
            shape,
            first: *first,
            width: Some(*width),
            height: *height,
        }),
        _ => None,
    }
}

fn millimetres(text: &str) -> Option<f64> {
    match text.strip_prefix('t') {
        Some(tenths) => tenths.parse::<u32>().ok().map(|n| f64::from(n) / 10.0),
        None => text.parse::<u32>().ok().map(f64::from),
    }
}

fn digits(text: &str, widths: &[usize]) -> Option<Vec<f64>> {
    if text.len() != widths.iter().sum::<usize>() || !text.is_ascii() {
        return None;
    }
    let mut rest = text;
    widths
        .iter()
        .map(|&w| {
            let (head, tail) = rest.split_at(w);
            rest = tail;
            head.parse::<u32>().ok().map(f64::from)
        })
        .collect()
}
