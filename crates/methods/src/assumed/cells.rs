//! What is usual of cells: voltages and reach by chemistry and form.
//!
//! A reach is a pair: what cells on sale usually reach at most, and the greatest that any reached in the year.
//! Less is never odd: old, small and high-current cells hold less.

use super::Value::{Between, One};
use super::{Row, Value, rows};

const SHEETS: &str = "data sheets of cells, from memory";
const IEC: &str = "IEC 60086-2, nominal voltages of systems, from memory";

const TRANSPORT: &str = "UN Model Regulations, special provision 188; 49 CFR 173.185(c)(1)";

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
    THIONYL_NOMINAL = Between(3.6, 3.68), "V" "", "Nominal voltage of one cell, lithium and thionyl chloride", IEC, 2026, ["cell"];
    ZINC_NOMINAL = Between(1.5, 1.6), "V" "",
        "Nominal voltage of one cell, alkaline, zinc-carbon, silver oxide, or lithium and iron disulfide", IEC, 2026, ["cell"];
    ZINC_AIR_NOMINAL = Between(1.35, 1.45), "V" "", "Nominal voltage of one cell, zinc-air", IEC, 2026, ["cell"];
    SMALL_POUCH_MOST = One(0.5), "Wh" "", "Energy below which seam and protection board weigh much in a pouch cell", SHEETS, 2026, ["cell"];
    POUCH_SPECIFIC = Between(370.0, 520.0), "Wh/kg" "", "Specific energy of pouch cells, lithium ion, silicon anodes among them: usual at most, and the greatest on sale",
        "data sheets of cells for telephones with silicon-carbon anodes and of silicon-anode cells for aircraft, from memory", 2025, ["cell"];
    POUCH_DENSITY = Between(930.0, 1350.0), "Wh/L" "", "Energy density of pouch cells, lithium ion, silicon anodes among them: usual at most, and the greatest on sale",
        "data sheets of cells for telephones with silicon-carbon anodes and of silicon-anode cells for aircraft, from memory", 2025, ["cell"];
    SMALL_POUCH_SPECIFIC = Between(300.0, 450.0), "Wh/kg" "", "Specific energy of pouch cells below 0.5 Wh, lithium ion: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SMALL_POUCH_DENSITY = Between(800.0, 1200.0), "Wh/L" "", "Energy density of pouch cells below 0.5 Wh, lithium ion: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    CYLINDRICAL_SPECIFIC = Between(315.0, 370.0), "Wh/kg" "", "Specific energy of cylindrical cells, lithium ion: usual at most, and the greatest on sale",
        "data sheets of 21700 cells of 5.0 Ah (250 Wh/kg), and of 5.8 Ah and more, the latter from memory", 2025, ["cell"];
    CYLINDRICAL_DENSITY = Between(890.0, 1050.0), "Wh/L" "", "Energy density of cylindrical cells, lithium ion: usual at most, and the greatest on sale",
        "data sheets of 21700 cells of 5.0 Ah (719 Wh/L), and of 5.8 Ah and more, the latter from memory", 2025, ["cell"];
    BUTTON_SPECIFIC = Between(250.0, 330.0), "Wh/kg" "", "Specific energy of button cells, lithium ion: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    BUTTON_DENSITY = Between(680.0, 900.0), "Wh/L" "", "Energy density of button cells, lithium ion: usual at most, and the greatest on sale",
        "a button cell of 11 mm × 5.4 mm prints 0.16 Wh (312 Wh/L, 2019); later ones of 12 mm × 5.4 mm from memory", 2025, ["cell"];
    PRISMATIC_SPECIFIC = Between(310.0, 400.0), "Wh/kg" "", "Specific energy of prismatic cells in a hard case, lithium ion: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    PRISMATIC_DENSITY = Between(800.0, 1050.0), "Wh/L" "", "Energy density of prismatic cells in a hard case, lithium ion: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    PACK_SPECIFIC = Between(300.0, 450.0), "Wh/kg" "", "Specific energy of packs, lithium ion, which have a housing: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    PACK_DENSITY = Between(800.0, 1100.0), "Wh/L" "", "Energy density of packs, lithium ion, which have a housing: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    PHOSPHATE_SPECIFIC = Between(205.0, 230.0), "Wh/kg" "", "Specific energy of lithium iron phosphate in any form: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    PHOSPHATE_DENSITY = Between(450.0, 520.0), "Wh/L" "", "Energy density of lithium iron phosphate in any form: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    TITANATE_SPECIFIC = Between(115.0, 140.0), "Wh/kg" "", "Specific energy of titanate cells in any form: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    TITANATE_DENSITY = Between(220.0, 270.0), "Wh/L" "", "Energy density of titanate cells in any form: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SODIUM_SPECIFIC = Between(175.0, 220.0), "Wh/kg" "", "Specific energy of sodium ion in any form: usual at most, and the greatest on sale",
        "an encyclopaedia on sodium-ion batteries: 75–200 Wh/kg, 250–375 Wh/L", 2025, ["cell"];
    SODIUM_DENSITY = Between(375.0, 450.0), "Wh/L" "", "Energy density of sodium ion in any form: usual at most, and the greatest on sale",
        "an encyclopaedia on sodium-ion batteries: 75–200 Wh/kg, 250–375 Wh/L", 2025, ["cell"];
    METAL_HYDRIDE_SPECIFIC = Between(115.0, 130.0), "Wh/kg" "", "Specific energy of nickel-metal hydride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    METAL_HYDRIDE_DENSITY = Between(430.0, 490.0), "Wh/L" "", "Energy density of nickel-metal hydride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    CADMIUM_SPECIFIC = Between(65.0, 80.0), "Wh/kg" "", "Specific energy of nickel-cadmium: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    CADMIUM_DENSITY = Between(190.0, 230.0), "Wh/L" "", "Energy density of nickel-cadmium: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    LEAD_SPECIFIC = Between(50.0, 60.0), "Wh/kg" "", "Specific energy of lead-acid: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    LEAD_DENSITY = Between(110.0, 140.0), "Wh/L" "", "Energy density of lead-acid: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    MANGANESE_SPECIFIC = Between(350.0, 450.0), "Wh/kg" "", "Specific energy of lithium and manganese dioxide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    MANGANESE_DENSITY = Between(850.0, 1050.0), "Wh/L" "", "Energy density of lithium and manganese dioxide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    THIONYL_SPECIFIC = Between(760.0, 850.0), "Wh/kg" "", "Specific energy of lithium and thionyl chloride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    THIONYL_DENSITY = Between(1450.0, 1600.0), "Wh/L" "", "Energy density of lithium and thionyl chloride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SULFUR_DIOXIDE_SPECIFIC = Between(300.0, 350.0), "Wh/kg" "", "Specific energy of lithium and sulfur dioxide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SULFUR_DIOXIDE_DENSITY = Between(480.0, 560.0), "Wh/L" "", "Energy density of lithium and sulfur dioxide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    DISULFIDE_SPECIFIC = Between(380.0, 430.0), "Wh/kg" "", "Specific energy of lithium and iron disulfide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    DISULFIDE_DENSITY = Between(700.0, 800.0), "Wh/L" "", "Energy density of lithium and iron disulfide: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    MONOFLUORIDE_SPECIFIC = Between(600.0, 900.0), "Wh/kg" "", "Specific energy of lithium and carbon monofluoride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    MONOFLUORIDE_DENSITY = Between(1000.0, 1500.0), "Wh/L" "", "Energy density of lithium and carbon monofluoride: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ALLOY_SPECIFIC = Between(90.0, 150.0), "Wh/kg" "", "Specific energy of rechargeable lithium alloy: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ALLOY_DENSITY = Between(260.0, 400.0), "Wh/L" "", "Energy density of rechargeable lithium alloy: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ALKALINE_SPECIFIC = Between(210.0, 240.0), "Wh/kg" "", "Specific energy of alkaline cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ALKALINE_DENSITY = Between(570.0, 650.0), "Wh/L" "", "Energy density of alkaline cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    CARBON_SPECIFIC = Between(110.0, 135.0), "Wh/kg" "", "Specific energy of zinc-carbon cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    CARBON_DENSITY = Between(250.0, 310.0), "Wh/L" "", "Energy density of zinc-carbon cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SILVER_SPECIFIC = Between(150.0, 190.0), "Wh/kg" "", "Specific energy of silver oxide cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    SILVER_DENSITY = Between(580.0, 700.0), "Wh/L" "", "Energy density of silver oxide cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ZINC_AIR_SPECIFIC = Between(550.0, 660.0), "Wh/kg" "", "Specific energy of zinc-air cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    ZINC_AIR_DENSITY = Between(1800.0, 2100.0), "Wh/L" "", "Energy density of zinc-air cells: usual at most, and the greatest on sale",
        SHEETS, 2025, ["cell"];
    FLAT_MASS_DENSITY = Between(1.5, 3.2), "g/cm³" "", "Mass by volume of sound flat cells; a swollen one weighs less for its size",
        SHEETS, 2026, ["cell"];
    SMALL_FLAT_MASS_DENSITY = Between(1.2, 3.2), "g/cm³" "",
        "Mass by volume of sound flat cells below 0.5 Wh with seam and protection board", SHEETS, 2026, ["cell"];
    SMALL_LITHIUM_CELL = One(1.0), "g" "", "Largest content of lithium of a small lithium metal cell", TRANSPORT, 2016, ["cell"];
    SMALL_LITHIUM_BATTERY = One(2.0), "g" "", "Largest content of lithium of a small lithium metal battery", TRANSPORT, 2016, ["cell"];
    LITHIUM_BY_CHARGE = One(0.259), "g" " for each ampere hour", "Least lithium that a charge uses up",
        "Faraday's law: 6.94 g/mol ÷ 96 485 C/mol × 3600 C", 2019, ["cell"];
}
