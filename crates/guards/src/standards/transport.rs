//! Tests that cells pass before they are sold and sent: UN 38.3 and IEC 62133-2. A protector that was seen is no
//! evidence of any of them.

use super::Checked::{Memory, ReadIn, Split};
use super::{Row, row};

const UN: &str = "UN Manual of Tests and Criteria, 38.3";
const CELLS: &str = "IEC 62133-2:2017 + A1:2021";

/// Tests of cells and batteries.
pub const TRANSPORT: &[Row] = &[
    row(
        "tests T.1 to T.8",
        "altitude, thermal, vibration, shock, external short circuit, impact or crush, \
         overcharge, forced discharge",
        UN,
        ReadIn(4),
    ),
    row("T.1", "11.6 kPa, 6 h", UN, ReadIn(2)),
    row(
        "T.2",
        "−40 to +75 °C, 10 cycles; 72 °C by memory",
        UN,
        Split,
    ),
    row("T.5", "55 °C", UN, ReadIn(2)),
    row(
        "T.7",
        "rechargeable batteries; T.6 and T.8 cells",
        UN,
        Memory,
    ),
    row(
        "test summary",
        "to be available since 1 January 2020",
        UN,
        ReadIn(1),
    ),
    row(
        "tests",
        "continuous charging, vibration and shock, external short circuit, free fall, thermal abuse, crush, \
         over-charge, forced internal short circuit",
        CELLS,
        ReadIn(5),
    ),
    row("forced discharge", "in the same list", CELLS, Memory),
    row("thermal abuse", "130 °C, 30 min", CELLS, ReadIn(4)),
    row(
        "short circuit of a cell",
        "55 °C, below 0.1 Ω",
        CELLS,
        ReadIn(2),
    ),
    row("free fall", "1.0 m", CELLS, ReadIn(2)),
];
