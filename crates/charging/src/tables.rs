//! Published open-circuit voltages, by chemistry and form.
//!
//! In: nothing. Out: six tables of 21 points, evenly spread over state of charge, each with its source.
//! Not here: which cell a product has, and what it means to use the table of another (the caller says so).
//! Source: parameter sets of PyBaMM 26.10.1.1, evaluated as electrode voltage differences between the set's own
//! voltage limits; the papers are named with each set.

use crate::{ChargingError, Ocv};

/// How a cell is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// A round can.
    Cylindrical,
    /// A pouch.
    Pouch,
}

/// A published open-circuit voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PublishedOcv {
    /// Name of the parameter set.
    pub name: &'static str,
    /// The cell, in words.
    pub cell: &'static str,
    /// The positive electrode: `nmc`, `lco`, `nca` or `lfp`.
    pub chemistry: &'static str,
    /// How the cell is built, where the source says.
    pub form: Option<Form>,
    /// Where it was published.
    pub source: &'static str,
    /// Volts at 0, 0.05, … 1.
    pub volts: [f64; 21],
}

impl PublishedOcv {
    /// The table.
    ///
    /// # Errors
    /// None in practice: the tables rise.
    pub fn ocv(&self) -> Result<Ocv, ChargingError> {
        let mut points = [(0.0, 0.0); 21];
        let mut twentieths = 0.0;
        for (point, volt) in points.iter_mut().zip(self.volts) {
            *point = (twentieths / 20.0, volt);
            twentieths += 1.0;
        }
        Ocv::new(&points)
    }
}

/// The published tables. None is of a cell for 4.35 V or 4.4 V with LCO; the second carries NMC on to 4.4 V.
pub const PUBLISHED: [PublishedOcv; 6] = [
    PublishedOcv {
        name: "Chen2020",
        cell: "cylindrical 21700, NMC 811 and graphite with silicon oxide",
        chemistry: "nmc",
        form: Some(Form::Cylindrical),
        source: "Chen et al., J. Electrochem. Soc. 167 (2020) 080534, doi 10.1149/1945-7111/ab9050",
        volts: [
            2.5, 3.1094, 3.2959, 3.4339, 3.4852, 3.5286, 3.5814, 3.629, 3.667, 3.7054, 3.7509,
            3.7983, 3.8406, 3.8896, 3.9479, 3.9943, 4.0421, 4.0809, 4.0967, 4.1236, 4.2,
        ],
    },
    PublishedOcv {
        name: "ORegan2022",
        cell: "cylindrical 21700, NMC 811 and graphite with silicon oxide, revised and carried on to 4.4 V",
        chemistry: "nmc",
        form: Some(Form::Cylindrical),
        source: "O'Regan et al., Electrochim. Acta 425 (2022) 140700, doi 10.1016/j.electacta.2022.140700",
        volts: [
            2.5, 3.066, 3.2614, 3.379, 3.4277, 3.4834, 3.5408, 3.5833, 3.6166, 3.6486, 3.6856,
            3.7362, 3.8119, 3.8791, 3.9232, 3.9688, 4.0233, 4.0749, 4.0966, 4.1343, 4.4,
        ],
    },
    PublishedOcv {
        name: "Ai2020",
        cell: "pouch, LCO and graphite",
        chemistry: "lco",
        form: Some(Form::Pouch),
        source: "Ai et al., J. Electrochem. Soc. 167 (2020) 013512, doi 10.1149/2.0122001JES; Rieger et al., J. Electrochem. Soc. 163 (2016) A1566",
        volts: [
            3.0, 3.5421, 3.6396, 3.6654, 3.6954, 3.7168, 3.7331, 3.7481, 3.7622, 3.7763, 3.7925,
            3.8122, 3.8365, 3.8675, 3.9089, 3.9519, 3.9945, 4.0409, 4.0879, 4.1384, 4.2,
        ],
    },
    PublishedOcv {
        name: "NCA_Kim2011",
        cell: "pouch, NCA and graphite, a nominal design",
        chemistry: "nca",
        form: Some(Form::Pouch),
        source: "Kim et al., J. Electrochem. Soc. 158 (2011) A955, doi 10.1149/1.3597614",
        volts: [
            2.7, 3.1939, 3.2471, 3.3099, 3.3721, 3.4331, 3.4918, 3.5472, 3.5978, 3.643, 3.6846,
            3.7253, 3.7678, 3.8163, 3.8742, 3.93, 3.9803, 4.0295, 4.0803, 4.1354, 4.2,
        ],
    },
    PublishedOcv {
        name: "Marquis2019",
        cell: "pouch, LCO and graphite",
        chemistry: "lco",
        form: Some(Form::Pouch),
        source: "Marquis et al., J. Electrochem. Soc. 166 (2019) A3693, doi 10.1149/2.0341915jes",
        volts: [
            3.105, 3.6176, 3.6818, 3.6908, 3.6921, 3.6938, 3.6971, 3.7022, 3.7153, 3.7345, 3.745,
            3.7537, 3.7648, 3.7794, 3.7985, 3.8221, 3.849, 3.8756, 3.904, 4.0084, 4.1,
        ],
    },
    PublishedOcv {
        name: "Prada2013",
        cell: "LFP and graphite",
        chemistry: "lfp",
        form: None,
        source: "Prada et al., J. Electrochem. Soc. 160 (2013) A616, doi 10.1149/2.053304jes",
        volts: [
            2.0, 2.7853, 2.9781, 3.108, 3.1685, 3.1857, 3.2058, 3.2324, 3.2525, 3.2621, 3.266,
            3.2678, 3.2688, 3.27, 3.274, 3.2926, 3.3097, 3.3132, 3.3142, 3.3164, 3.6,
        ],
    },
];
