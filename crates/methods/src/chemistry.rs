//! What a cell is made of, from what is written about it.
//!
//! In: a chemistry as written, or a cell's facts. Out: a typed chemistry with what follows from it.
//! Not here: bands of energy (`cell`), transport (`cell`), rates of charge and self-discharge.
//! Source: names and letters of IEC 60086 and IEC 61960, from memory; voltages are rows of the table of
//! assumed figures. What is not understood stays [`Chemistry::Unknown`]; nothing is guessed from it.

mod known;

use crate::assumed::{self, Row};
use known::{ChemistryRow, KNOWN, UNKNOWN};
use quantity::Stated;
use record::{CellFacts, Item};

/// What a cell is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Chemistry {
    /// Lithium ion with a layered or spinel oxide: cobalt, nickel, manganese; in a pouch "polymer".
    LithiumIon,
    /// Lithium ion with a negative electrode rich in silicon.
    SiliconAnode,
    /// Lithium ion with iron phosphate.
    IronPhosphate,
    /// Lithium ion with a titanate as negative electrode.
    Titanate,
    /// Sodium ion.
    SodiumIon,
    /// Nickel-metal hydride.
    NickelMetalHydride,
    /// Nickel-cadmium.
    NickelCadmium,
    /// Lead-acid.
    LeadAcid,
    /// Lithium and manganese dioxide (CR).
    LithiumManganeseDioxide,
    /// Lithium and thionyl chloride.
    LithiumThionylChloride,
    /// Lithium and sulfur dioxide.
    LithiumSulfurDioxide,
    /// Lithium and iron disulfide.
    LithiumIronDisulfide,
    /// Lithium and carbon monofluoride (BR).
    LithiumCarbonMonofluoride,
    /// Lithium metal that is not recharged, of no stated sort.
    LithiumMetal,
    /// Lithium alloy and manganese or vanadium oxide that is recharged (ML, MS, VL).
    LithiumAlloy,
    /// Lithium of no stated sort: metal or ion.
    Lithium,
    /// Alkaline manganese dioxide (LR).
    Alkaline,
    /// Zinc and carbon.
    ZincCarbon,
    /// Silver oxide (SR).
    SilverOxide,
    /// Zinc and air (PR).
    ZincAir,
    /// Not stated or not understood.
    Unknown,
}

/// What decides dangers, transport and whether a cell may be charged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// Rechargeable, lithium as ions.
    LithiumIon,
    /// Lithium as metal or alloy.
    LithiumMetal,
    /// Lithium of no known sort.
    Lithium,
    /// Rechargeable, sodium as ions.
    SodiumIon,
    /// Nickel-metal hydride.
    NickelMetalHydride,
    /// Nickel-cadmium.
    NickelCadmium,
    /// Lead-acid.
    LeadAcid,
    /// Zinc in water that is not recharged: alkaline, zinc-carbon, silver oxide, zinc-air.
    Zinc,
    /// Not known.
    Unknown,
}

/// Longest name in words.
const LONGEST: usize = 6;

impl Chemistry {
    /// Reads a chemistry as written: `Li-ion`, `LiFePO₄`, `Ni-MH`, `lithium thionyl chloride`. Two that
    /// exclude each other give [`Chemistry::Unknown`].
    pub fn read(text: &str) -> Self {
        let words = words(text);
        // Names by place, the longest first; a shorter one inside a longer one says nothing of its own.
        let mut taken = vec![false; words.len()];
        let mut named: Vec<Self> = Vec::new();
        for length in (1..=LONGEST.min(words.len())).rev() {
            for start in 0..=words.len() - length {
                if taken[start..start + length].contains(&true) {
                    continue;
                }
                let name = words[start..start + length].concat();
                let known = KNOWN.iter().find(|k| k.spelled(&name));
                if let Some(known) = known {
                    taken[start..start + length].fill(true);
                    named.push(known.chemistry);
                }
            }
        }
        let most = named.iter().copied().reduce(Self::with);
        most.unwrap_or(Self::Unknown)
    }

    /// The narrower of two that go together.
    fn with(self, other: Self) -> Self {
        let wider = |wide: Self, narrow: Self| {
            wide == narrow
                || (wide == Self::Lithium
                    && matches!(narrow.family(), Family::LithiumIon | Family::LithiumMetal))
                || (wide == Self::LithiumIon && narrow.family() == Family::LithiumIon)
                || (wide == Self::LithiumMetal && narrow.family() == Family::LithiumMetal)
        };
        if wider(self, other) {
            other
        } else if wider(other, self) {
            self
        } else {
            Self::Unknown
        }
    }

    /// Returns what a cell is made of: as stated, else as the code in its marking says. `rechargeable`
    /// tells lithium ion from lithium metal where only `lithium` is written.
    pub fn of(item: &Item) -> Self {
        let facts = item.cell.as_ref();
        let stated = facts.and_then(|c| c.chemistry.as_deref()).map(Self::read);
        let lines = item.part.iter().flat_map(|p| &p.marking);
        let found = match stated {
            Some(stated) if stated != Self::Unknown => stated,
            _ => lines
                .map(|line| Self::of_marking(line))
                .find(|c| *c != Self::Unknown)
                .unwrap_or(Self::Unknown),
        };
        match (found, facts.and_then(|c| c.rechargeable)) {
            (Self::Lithium, Some(true)) => Self::LithiumIon,
            (Self::Lithium, Some(false)) => Self::LithiumMetal,
            _ => found,
        }
    }

    /// Reads the letters of a cell code in a marking: `CR2032`, `LIR2450`, `ICR18650`.
    fn of_marking(line: &str) -> Self {
        let context = codes::Context::on(codes::MarkedObject::Cell);
        let words = line.split_whitespace().map(|w| w.trim_matches('-'));
        let cells = words.flat_map(|word| codes::read(word, &context).into_iter().next());
        cells
            .filter_map(|reading| match reading.value {
                Some(codes::Value::Cell(size)) => size.chemistry,
                _ => None,
            })
            .map(|chemistry| Self::read(&chemistry))
            .find(|c| *c != Self::Unknown)
            .unwrap_or(Self::Unknown)
    }

    fn known(self) -> &'static ChemistryRow {
        KNOWN
            .iter()
            .find(|k| k.chemistry == self)
            .unwrap_or(&UNKNOWN)
    }

    /// Returns its name in running text.
    pub fn words(self) -> &'static str {
        self.known().words
    }

    /// Returns its short name, as labels print it.
    pub fn symbol(self) -> &'static str {
        self.known().symbol
    }

    /// Returns what decides dangers and transport.
    pub fn family(self) -> Family {
        self.known().family
    }

    /// Returns whether it can be charged; `None` if not known.
    pub fn is_rechargeable(self) -> Option<bool> {
        self.known().rechargeable
    }

    /// Returns the nominal voltages of one cell that are usual; `None` where none is known.
    pub fn nominal_voltage(self) -> Option<&'static Row> {
        self.known().nominal
    }

    /// Returns specific energy and energy density that it reaches (usual at most, and the greatest on
    /// sale) where they hang on the chemistry alone.
    pub fn reach(self) -> Option<(&'static Row, &'static Row)> {
        self.known().reach
    }

    /// Returns the limits to which one cell is charged; `None` where none is known, where it is not
    /// charged, and where no voltage ends the charge.
    pub fn limit_voltage(self) -> Option<&'static Row> {
        self.known().limit
    }
}

impl Family {
    /// Returns whether there is lithium in it, or may be.
    pub fn may_hold_lithium(self) -> bool {
        matches!(
            self,
            Self::LithiumIon | Self::LithiumMetal | Self::Lithium | Self::Unknown
        )
    }
}

/// What a cell is taken to be made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Assigned {
    /// The chemistry.
    pub chemistry: Chemistry,
    /// Whether its voltages told it, and nothing that is written.
    pub by_voltage: bool,
}

/// Returns what a cell is made of, from its voltages where nothing is written: 3.7 V is lithium ion, and
/// so is 3.6 V with a limit of charge; lithium ion of 3.2 V is iron phosphate.
pub fn taken(item: &Item) -> Assigned {
    let written = Chemistry::of(item);
    let open = match written {
        Chemistry::Unknown | Chemistry::Lithium | Chemistry::LithiumIon => true,
        _ => item.cell.as_ref().is_none(),
    };
    let by_voltage = item.cell.as_ref().filter(|_| open).and_then(from_voltages);
    match by_voltage.filter(|c| written.with(*c) == *c || written == Chemistry::Unknown) {
        Some(chemistry) if chemistry != written => Assigned {
            chemistry,
            by_voltage: true,
        },
        _ => Assigned {
            chemistry: written,
            by_voltage: false,
        },
    }
}

/// Lithium ion of some sort, if nothing else has the voltages of a cell.
fn from_voltages(facts: &CellFacts) -> Option<Chemistry> {
    let cells = f64::from(facts.series.unwrap_or(1).max(1));
    let volts = |stated: Option<&Stated>| stated.map(|v| v.si() / cells);
    let nominal = volts(facts.nominal_voltage.as_ref());
    let limit = volts(facts.limit_voltage.as_ref());
    let charged =
        facts.rechargeable == Some(true) || limit.is_some() || facts.charge_current.is_some();
    if facts.rechargeable == Some(false) {
        return None;
    }
    let sorts = [
        Chemistry::LithiumIon,
        Chemistry::IronPhosphate,
        Chemistry::Titanate,
    ];
    sorts.into_iter().find(|sort| {
        let known = sort.known();
        let nominal = nominal
            .zip(known.nominal)
            .is_some_and(|(v, row)| holds(row, v));
        let ends = limit.zip(known.limit).is_none_or(|(v, row)| holds(row, v));
        let flat = matches!(facts.form.as_str(), "pouch" | "prismatic");
        // Thionyl chloride has 3.6 V, sodium ion up to 3.3 V, lithium metal 3 V.
        let alone = *sort == Chemistry::LithiumIon
            && nominal_above(facts, cells, &assumed::THIONYL_NOMINAL);
        nominal && ends && (charged || flat || alone)
    })
}

fn nominal_above(facts: &CellFacts, cells: f64, row: &Row) -> bool {
    let nominal = facts.nominal_voltage.as_ref();
    nominal.is_some_and(|v| v.si() / cells > row.bounds().1)
}

/// Returns whether a printed voltage lies within a row, to the last digit that labels print.
pub fn holds(row: &Row, volts: f64) -> bool {
    let (low, high) = row.bounds();
    let rounding = assumed::LABEL_ROUNDING.number();
    volts >= low - rounding && volts <= high + rounding
}

/// Returns whether a cell can be charged: as stated, else as its chemistry says, else if a limit of charge
/// is printed. `None` if not known.
pub fn is_rechargeable(item: &Item) -> Option<bool> {
    let chemistry = taken(item).chemistry;
    match &item.cell {
        Some(facts) => rechargeable(facts, chemistry),
        None => chemistry.is_rechargeable(),
    }
}

/// As [`is_rechargeable`], of facts and chemistry.
pub fn rechargeable(facts: &CellFacts, chemistry: Chemistry) -> Option<bool> {
    let charged = facts.limit_voltage.is_some() || facts.charge_current.is_some();
    facts
        .rechargeable
        .or_else(|| chemistry.is_rechargeable())
        .or_else(|| charged.then_some(true))
}

/// Words in small letters and digits: `Li‑SOCl₂` is `li`, `socl2`.
fn words(text: &str) -> Vec<String> {
    let plain: String = text
        .chars()
        .take(200)
        .map(|c| match c {
            '₀'..='₉' => char::from_digit(u32::from(c) - u32::from('₀'), 10).unwrap_or(c),
            '\u{ff01}'..='\u{ff5e}' => char::from_u32(u32::from(c) - 0xfee0).unwrap_or(c),
            _ => c,
        })
        .flat_map(char::to_lowercase)
        .collect();
    plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(String::from)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spellings as they stand on labels and in shops, from memory.
    #[test]
    fn spellings_of_labels_are_read() {
        use Chemistry::*;
        for (text, chemistry) in [
            ("Li-ion", LithiumIon),
            ("Li-Ion", LithiumIon),
            ("LI-ION", LithiumIon),
            ("Lithium Ion", LithiumIon),
            ("lithium-ion polymer", LithiumIon),
            ("Li-Po", LithiumIon),
            ("LiPo", LithiumIon),
            ("Li-ion (NMC)", LithiumIon),
            ("lithium ion, cobalt electrode", LithiumIon),
            ("锂离子", LithiumIon),
            ("Li-ion, silicon anode", SiliconAnode),
            ("silicon-carbon", SiliconAnode),
            ("LiFePO4", IronPhosphate),
            ("LiFePO₄", IronPhosphate),
            ("Li-FePO4", IronPhosphate),
            ("LFP", IronPhosphate),
            ("lithium iron phosphate (Li-ion)", IronPhosphate),
            ("LTO", Titanate),
            ("lithium titanate", Titanate),
            ("Na-ion", SodiumIon),
            ("sodium-ion", SodiumIon),
            ("NiMH", NickelMetalHydride),
            ("Ni-MH", NickelMetalHydride),
            ("nickel-metal hydride", NickelMetalHydride),
            ("Ni-Cd", NickelCadmium),
            ("NiCad", NickelCadmium),
            ("lead-acid", LeadAcid),
            ("Li-MnO2", LithiumManganeseDioxide),
            ("Li/MnO₂", LithiumManganeseDioxide),
            (
                "lithium and manganese dioxide, not rechargeable",
                LithiumManganeseDioxide,
            ),
            ("Li-SOCl2", LithiumThionylChloride),
            ("lithium thionyl chloride", LithiumThionylChloride),
            ("Li-FeS2", LithiumIronDisulfide),
            ("Li-CFx", LithiumCarbonMonofluoride),
            ("lithium metal", LithiumMetal),
            ("manganese and lithium, rechargeable", LithiumAlloy),
            ("lithium", Lithium),
            ("alkaline", Alkaline),
            ("Zn-MnO2", Alkaline),
            ("zinc-carbon", ZincCarbon),
            ("silver oxide", SilverOxide),
            ("Zn-air", ZincAir),
            ("zinc and air, not rechargeable", ZincAir),
            ("unknown", Unknown),
            ("", Unknown),
            ("graphene", Unknown),
            ("NiMH or Li-ion", Unknown),
        ] {
            assert_eq!(Chemistry::read(text), chemistry, "{text}");
        }
    }

    #[test]
    fn no_spelling_stands_for_two_chemistries() {
        let mut all: Vec<&str> = KNOWN
            .iter()
            .flat_map(|k| k.spellings.split_whitespace())
            .collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
        for known in KNOWN {
            assert!(known.spellings.split_whitespace().all(|s| words(s) == [s]));
            assert_eq!(
                Chemistry::read(known.words),
                known.chemistry,
                "{}",
                known.words
            );
        }
    }
}
