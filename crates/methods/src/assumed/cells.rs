//! What is usual of cells: voltages by chemistry.

use super::Value::Between;
use super::{Row, Value, rows};

const SHEETS: &str = "data sheets of cells, from memory";
const IEC: &str = "IEC 60086-2, nominal voltages of systems, from memory";

rows! {
    LITHIUM_ION_NOMINAL = Between(3.6, 3.95), "V" "", "Nominal voltage of one cell, lithium ion", SHEETS, 2026, ["cell"];
    LITHIUM_ION_LIMIT = Between(4.1, 4.55), "V" "", "Limit of charge of one cell, lithium ion", SHEETS, 2026, ["cell"];
    SILICON_NOMINAL = Between(3.3, 3.95), "V" "", "Nominal voltage of one cell, silicon anode", SHEETS, 2026, ["cell"];
    PHOSPHATE_NOMINAL = Between(3.2, 3.3), "V" "", "Nominal voltage of one cell, lithium iron phosphate", SHEETS, 2026, ["cell"];
    PHOSPHATE_LIMIT = Between(3.6, 3.7), "V" "", "Limit of charge of one cell, lithium iron phosphate", SHEETS, 2026, ["cell"];
    TITANATE_NOMINAL = Between(2.2, 2.5), "V" "", "Nominal voltage of one cell, titanate anode", SHEETS, 2026, ["cell"];
    TITANATE_LIMIT = Between(2.6, 2.9), "V" "", "Limit of charge of one cell, titanate anode", SHEETS, 2026, ["cell"];
    SODIUM_NOMINAL = Between(2.9, 3.3), "V" "", "Nominal voltage of one cell, sodium ion",
        "data sheet of a sodium-ion 18650 of 1300 mAh: 3.05 V, limit 3.95 V; others from memory", 2026, ["cell"];
    SODIUM_LIMIT = Between(3.6, 4.2), "V" "", "Limit of charge of one cell, sodium ion",
        "data sheet of a sodium-ion 18650 of 1300 mAh: 3.05 V, limit 3.95 V; others from memory", 2026, ["cell"];
    NICKEL_NOMINAL = Between(1.2, 1.25), "V" "", "Nominal voltage of one cell, nickel-metal hydride or nickel-cadmium", SHEETS, 2026, ["cell"];
    LEAD_NOMINAL = Between(2.0, 2.1), "V" "", "Nominal voltage of one cell, lead-acid", SHEETS, 2026, ["cell"];
    LEAD_LIMIT = Between(2.25, 2.5), "V" "", "Limit of charge of one cell, lead-acid", SHEETS, 2026, ["cell"];
    LITHIUM_METAL_NOMINAL = Between(2.8, 3.1), "V" "",
        "Nominal voltage of one cell, lithium metal with manganese dioxide, carbon monofluoride or sulfur dioxide", IEC, 2026, ["cell"];
    LITHIUM_ALLOY_LIMIT = Between(2.8, 3.6), "V" "", "Limit of charge of one cell, rechargeable lithium alloy", SHEETS, 2026, ["cell"];
    THIONYL_NOMINAL = Between(3.6, 3.7), "V" "", "Nominal voltage of one cell, lithium and thionyl chloride", IEC, 2026, ["cell"];
    ZINC_NOMINAL = Between(1.5, 1.6), "V" "",
        "Nominal voltage of one cell, alkaline, zinc-carbon, silver oxide, or lithium and iron disulfide", IEC, 2026, ["cell"];
    ZINC_AIR_NOMINAL = Between(1.35, 1.45), "V" "", "Nominal voltage of one cell, zinc-air", IEC, 2026, ["cell"];
}
