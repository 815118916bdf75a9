//! The table itself, but for the figures of cells.

use super::Value::{Between, One, Pert, Triangular};
use super::{Row, Value, rows};

const PRACTICE: &str = "common practice";
const MEMORY: &str = "common practice, from memory";
/// Read: a reply of the administration of 2025 that names both limits, one of 2015 that names the rule.
const TRANSPORT: &str = "49 CFR 173.185(c)(1)(i), as revised by 79 FR 46011; UN Model Regulations, special provision 188";

rows! {
    USABLE_FRACTION = Triangular(88.0, 95.0, 100.0), "%" " above the cut-off",
        "Share of a printed capacity that a device uses before it cuts off", PRACTICE, 2026, ["runtime"];
    STORAGE_TIME = Between(24.0, 168.0), "h" " between charges",
        "Time in storage between two charges", PRACTICE, 2026, ["runtime"];
    CHARGING_TAIL = Between(1.07, 2.34), "" "",
        "Charging time over charge ÷ current: the constant-voltage tail, the span of computed runs; it may refute, \
         not prove",
        "Constant-current constant-voltage charges to a current of C/20, computed at C/2, 1 C and 2 C: an \
         equivalent-circuit cell from 5 % takes 1.07, 1.22 and 1.63 times charge ÷ current, a single-particle model \
         (parameters of Chen 2020) from empty 1.17, 1.50 and 2.34 times", 2026, ["power"];
    CHARGE_END = Between(2.0, 10.0), "%" " of the capacity per hour",
        "Current at which a charger ends the charge of a lithium-ion cell",
        "data sheets of chargers: 10 % of the set current unless set otherwise; cells are specified to 2 % to 5 %, \
         common practice", 2026, ["power"];
    CELL_DROP = Triangular(0.03, 0.07, 0.15), "V" " at one times the capacity per hour",
        "Voltage drop of a lithium-ion cell at once: series resistance times the current that charges it in an hour",
        "parameter sets of equivalent circuits 0.03 V to 0.10 V; measured 0.02 V to 0.10 V within 5 s on a cell of \
         1.1 Ah (battery-data-toolkit 0.4.6)", 2026, ["power"];
    CELL_SLOW_DROP = Triangular(0.02, 0.08, 0.25), "V" " at one times the capacity per hour",
        "Voltage drop of a lithium-ion cell that builds up slowly",
        "parameter sets of equivalent circuits 0.02 V to 0.10 V; a single-particle model (parameters of Chen 2020) \
         takes about as long as one with 0.15 V and 300 s", 2026, ["power"];
    CELL_SLOW_TIME = Between(30.0, 600.0), "s" "",
        "Time in which the slow voltage drop of a lithium-ion cell builds up",
        "two exponentials of 45 s and 187 s fit a measured charge (battery-data-toolkit 0.4.6); equivalent circuits \
         20 s to 300 s; diffusion is slower", 2026, ["power"];
    CHARGE_RATE_SMALL = Between(0.2, 4.0), "" " times the capacity per hour",
        "Charge rate of a lithium-ion cell below 1 Ah; the upper end is the greatest plausible",
        "makers recommend slightly less than 1 times; cylindrical cells charged at 4 times and more suffer significant \
         damage (table of published tests in Findings, 2021, Impact of charging rates on battery life)", 2021, ["power"];
    CHARGE_RATE_LARGE = Between(0.2, 6.0), "" " times the capacity per hour",
        "Charge rate of a lithium-ion cell of 1 Ah and more; the upper end is the greatest plausible",
        "published tests reach 6 times (Findings, 2021, Impact of charging rates on battery life); common practice", 2021, ["power"];
    CHARGE_RATE_PHOSPHATE = Between(0.2, 10.0), "" " times the capacity per hour",
        "Charge rate of a lithium iron phosphate or titanate cell; the upper end is the greatest plausible",
        "published tests reach 10 times (Findings, 2021, Impact of charging rates on battery life)", 2021, ["power"];
    CHARGE_RATE_SODIUM = Between(0.2, 6.0), "" " times the capacity per hour",
        "Charge rate of a sodium-ion cell; the upper end is the greatest plausible", MEMORY, 2026, ["power"];
    CHARGE_RATE_NICKEL = Between(0.1, 4.0), "" " times the capacity per hour",
        "Charge rate of a nickel cell; the upper end, full in 15 min, is the greatest plausible", MEMORY, 2026, ["power"];
    CHARGE_RATE_LEAD = Between(0.05, 1.0), "" " times the capacity per hour",
        "Charge rate of a lead cell; the upper end is the greatest plausible", MEMORY, 2026, ["power"];
    PRICE_BEYOND = One(::cost::ladder::BEYOND), "" "",
        "Doubt of a price for every tenfold beyond the last quantity it is quoted for, as standard deviation of its \
         logarithm", "a choice; prices beyond a quotation were not found published", 2026, ["cost"];
    SPARE_BATTERY_YEARS = One(::repair::rules::BATTERY_YEARS), "" " years",
        "Years after the last unit for which spare batteries are to be had",
        "Regulation (EU) 2023/1542, article 11, as public summaries give it; decides nothing", 2026, ["repair"];
    SPARE_PHONE_YEARS = One(::repair::rules::PHONE_YEARS), "" " years",
        "Years after the last unit for which spare parts of phones are to be had",
        "Regulation (EU) 2023/1670, annex II A, read for mobile phones other than smartphones", 2026, ["repair"];
    INDEX_LOCK_STEPS = One(::repair::index::LOCK_STEPS as f64), "" "",
        "Steps that the index of phones and tablets adds where a part works only after the maker lets it",
        "Delegated Regulation (EU) 2023/1669, annex IV, as an analyst's article gives it; decides nothing", 2026, ["repair"];
    SMALL_CHARGE = One(1.0), "Ah" "",
        "Capacity from which a lithium-ion cell is in the band of large ones", PRACTICE, 2026, ["power"];
    CHARGE_LIMIT = One(10.0), "%" "",
        "Tolerance of the charge current of a charger",
        "data sheets of chargers: ± 5 % to ± 10 % over temperature", 2026, ["power"];
    INPUT_LIMIT = One(10.0), "%" "",
        "Tolerance of an input current limit", "data sheets of chargers: 93 % to 107 %, and ± 10 %", 2026, ["power"];
    OUTPUT_LIMIT = One(20.0), "%" "",
        "Tolerance of the output current limit of a regulator", "data sheets of regulators, from memory", 2026, ["power", "protection"];
    POWER_LIMIT = One(10.0), "%" "", "Tolerance of an output power limit", PRACTICE, 2026, ["power"];
    REGULATED_VOLTAGE = One(2.0), "%" "",
        "Tolerance of the output voltage of a regulator", "data sheets of regulators, from memory", 2026, ["power"];
    SUPPLY_TOLERANCE = One(5.0), "%" "",
        "Tolerance of the voltage of a supply at a contact",
        "charging ports of USB: 4.75 V to 5.25 V (three pages on BC 1.2); others by habit", 2026, ["protection"];
    STATED_EFFICIENCY = One(3.0), "%" "",
        "Tolerance of an efficiency read from a data sheet", PRACTICE, 2026, ["power", "runtime"];
    STATED_LOAD = One(20.0), "%" "",
        "Tolerance of a current drawn as a data sheet states it", PRACTICE, 2026, ["runtime"];
    PRINTED_CAPACITY = One(3.0), "%" "",
        "Tolerance of a capacity or energy printed on a cell", PRACTICE, 2026, ["runtime", "power"];
    FITTED_PRINT = One(5.0), "%" "",
        "Standard uncertainty of a printed capacity before a cell is fitted to a log",
        "predictions of ends of charges in crates/logs/tests/fit.rs, where prints are 4 % off", 2026, ["power"];
    MEAN_VOLTAGE = One(2.0), "%" "",
        "Difference of the mean voltage of a discharge from the nominal voltage of the cell", PRACTICE, 2026, ["power", "runtime"];
    SELF_DISCHARGE_LITHIUM = Between(1.0, 5.0), "%" " a month",
        "Self-discharge of a lithium-ion cell with its protector, of its capacity",
        "sellers of cells: 1 % to 2 % a month and 3 % for the protection circuit; tables: 2 % to 3 % a month", 2026, ["runtime"];
    SELF_DISCHARGE_NICKEL = Between(2.0, 30.0), "%" " a month",
        "Self-discharge of a nickel-metal hydride cell, of its capacity",
        "tables: 30 % a month, 4 % with low self-discharge; sellers of cells: 10 % to 15 % a month", 2024, ["runtime"];
    SELF_DISCHARGE_CADMIUM = Between(15.0, 20.0), "%" " a month",
        "Self-discharge of a nickel-cadmium cell, of its capacity", "tables: 15 % to 20 % a month", 2024, ["runtime"];
    SELF_DISCHARGE_LEAD = Between(4.0, 6.0), "%" " a month",
        "Self-discharge of a lead cell, of its capacity", "tables: 4 % to 6 % a month", 2024, ["runtime"];
    SELF_DISCHARGE_PRIMARY = Between(0.1, 0.5), "%" " a month",
        "Self-discharge of a primary cell, of its capacity",
        "tables: 0.5 % a month; sellers of lithium-metal cells: 10 % in 5 years", 2024, ["runtime"];
    AGED_LITHIUM = Between(60.0, 90.0), "%" " after 500 full charges",
        "Share of its capacity that is left to a lithium-ion cell after 500 full charges and discharges",
        "a cell maker's page: 300 charges; a seller's sheet: at least 500; the least that IEC 61960-3 asks for after 500 \
         is 60 %, from memory; 80 % after 800 for telephones under Regulation (EU) 2023/1670, from memory", 2026, ["runtime"];
    COLD_LITHIUM = Between(60.0, 90.0), "%" " at −10 °C",
        "Share of its capacity that a lithium-ion cell gives at −10 °C, slowly discharged",
        "sellers' sheets of cells: at least 85 % at −10 °C of one type, at least 60 % at −20 °C of another", 2026, ["runtime"];
    DOMINANT_SHARE = One(10.0), "%" "",
        "Loads that take less of a mean current are not named in the sentence on what takes most",
        "a choice: a tenth is worth a name", 2026, ["runtime"];
    MONTH = One(730.5), "h" "", "A month, for rates a month: a twelfth of 365.25 days", "definition", 2026, ["runtime"];
    ALL_OF_THE_TIME = One(1.0), "%" "",
        "Shares of the time of modes that miss the whole by less make it up: they are written in whole per cent",
        PRACTICE, 2026, ["runtime"];
    SAME_VOLTAGE = One(8.0), "%" "",
        "Voltages that differ by less are the same: nominal voltages of lithium-ion cells run from 3.6 V to 3.87 V",
        PRACTICE, 2026, ["runtime", "claims"];
    SWITCHED_EFFICIENCY = Pert(75.0, 88.0, 95.0), "%" "",
        "Efficiency of a switched converter or charger", PRACTICE, 2026, ["power"];
    INDUCTIVE_EFFICIENCY = Pert(60.0, 75.0, 85.0), "%" "",
        "Efficiency from the transmitting coil's supply to the receiver's output", PRACTICE, 2026, ["power"];
    LITHIUM_ION_VOLTAGE = Between(3.6, 3.85), "V" " (lithium-ion)",
        "Nominal voltage of a cell", PRACTICE, 2026, ["power", "cell"];
    SOCKET_VOLTAGE = One(5.0), "V" "",
        "Voltage of a socket on which nothing is printed",
        "IEC 63002:2021, 4.4: 5 V by default with 0.5 A (2.0) or 0.9 A (3.x); 1.5 A or 3.0 A where the source advertises it",
        2021, ["power"];
    COMMON_PART = One(0.5), "" "",
        "Share of the variance of a constant limit of error that all readings on an instrument have in common \
         (data sheets of small instruments do not say)", PRACTICE, 2026, ["mass"];
    AIR_DENSITY = One(1.2), "kg/m³" "",
        "Conventional density of air", "OIML D 28:2004, conventional value of the result of weighing in air", 2004, ["mass"];
    WEIGHT_DENSITY = One(8000.0), "kg/m³" "",
        "Conventional density of weights", "OIML D 28:2004, conventional value of the result of weighing in air", 2004, ["mass"];
    SCALE_RESOLUTION = One(0.01), "g" "",
        "Resolution of the scale that is asked for where none is recorded", PRACTICE, 2026, ["mass", "opening"];
    CALLIPER_RESOLUTION = One(0.05), "mm" "",
        "Resolution of the calliper that is asked for", PRACTICE, 2026, ["opening"];
    WORTH_WEIGHING = One(0.99), "" "",
        "A weighing is proposed where it leaves less than this share of a variance", PRACTICE, 2026, ["mass"];
    SCALE_DIGITS = One(3.0), "" " digits of the display",
        "Limit of error of a scale whose accuracy is not stated",
        "OIML R 76-1, 3.5.1 and 3.5.2: up to 3 scale intervals in service, class III", 2006, ["mass"];
    HEAVIER_THAN_ITS_WHOLE = One(5.0), "" "",
        "Standard uncertainties by which pieces must exceed what holds them before the record contradicts itself",
        PRACTICE, 2026, ["consistency", "mass"];
    PLAUSIBLE_ERROR = One(25.0), "%" "",
        "Greatest limit of error of an instrument, as a share of the reading, that is not taken for a slip",
        PRACTICE, 2026, ["consistency"];
    CLOCK_TOLERANCE = One(60.0), "s" "",
        "Difference of times of day that their being noted to the minute explains", PRACTICE, 2026, ["consistency"];
    FALSE_ALARM = One(0.05), "" "",
        "Overall probability of a false alarm of the tests of weighings", PRACTICE, 2026, ["mass"];
    MARK = One(1.2), "px" "",
        "Standard uncertainty of a point marked by hand: it lies within two pixels of its edge, rectangular",
        PRACTICE, 2026, ["geometry"];
    RULED_MARK = One(0.05), "mm" "",
        "Half width of a mark on something ruled, the least doubt of a bare number", PRACTICE, 2026, ["geometry"];
    FRAME_DIAGONAL = One(43.266_615_305_567_87), "mm" "",
        "Diagonal of the frame of 36 mm × 24 mm to which equivalent focal lengths refer",
        "√(36² + 24²); that equal diagonals are meant: CIPA DCG-001, as quoted in an encyclopaedia", 2026, ["geometry"];
    FOCAL_LENGTH = One(3.0), "%" "",
        "Least standard uncertainty of an equivalent focal length: cameras round it, and focusing near changes it",
        PRACTICE, 2026, ["geometry"];
    LENS = One(1.0), "%" "",
        "Standard uncertainty of the lens's displacement at the corner, of the half diagonal: residual \
         distortion of up to 2 %", PRACTICE, 2026, ["geometry"];
    TILT = One(8.0), "°" "",
        "Standard uncertainty of looking straight down, about each of two axes, where nothing spans an area: a camera \
         held by hand over a desk is within 20° in 19 of 20 photographs", PRACTICE, 2026, ["geometry"];
    HEIGHT_PART = Triangular(-0.2, 1.2, 5.0), "mm" "",
        "Height of the top of a part above the plane of what is of known size, where it is not stated: packages \
         are 0.4 mm to 1.75 mm high, on a board of 0.8 mm to 1.6 mm if the reference lies beside it",
        "MO-220, MS-012 and MO-153 as quoted in public footprint data, from memory", 2026, ["geometry"];
    HEIGHT_BOARD = Triangular(-1.0, 0.8, 4.0), "mm" "",
        "The same of the upper face of a board: usual boards are 0.8 mm to 1.6 mm thick", PRACTICE, 2026, ["geometry"];
    HEIGHT_CELL = Triangular(-0.5, 3.0, 12.0), "mm" "",
        "The same of the outline of a cell: pouches 2 mm to 6 mm, coin cells 1.2 mm to 5.4 mm, round cells half their \
         diameter", PRACTICE, 2026, ["geometry"];
    HEIGHT_OTHER = Triangular(-1.0, 1.0, 10.0), "mm" "",
        "The same of anything else, and of points that belong to nothing", PRACTICE, 2026, ["geometry"];
    SCALE_BAR = One(5.0), "%" "",
        "Variation of the scale over a photograph above which a scale bar would not hold", PRACTICE, 2026, ["geometry"];
    PICTURE_MARGIN = One(1.05), "" "",
        "Size of a picture over the extent of the marks in it, where its size is not recorded", PRACTICE, 2026, ["geometry"];
    CONTRADICTION = One(3.0), "" "",
        "Standard uncertainties beyond which two sizes contradict", "JCGM 100:2008, 6.2 (about 99.7 %)", 2008, ["geometry"];
    PACKAGE_TOLERANCE = One(0.2), "mm" "",
        "Limit of the tolerance of a package body",
        "MO-220, MO-153 and MO-187 as quoted in public footprint data, from memory", 2026, ["markings"];
    SURE_IDENTITY = One(0.9), "" "",
        "An identity at least this probable is as good as read", PRACTICE, 2026, ["markings", "claims"];
    CONTRADICTED_IDENTITY = One(0.05), "" "",
        "An identity less probable than this is contradicted", PRACTICE, 2026, ["markings"];
    RIVAL_IDENTITY = One(0.02), "" "",
        "Rivals less probable than this need no second look", PRACTICE, 2026, ["markings"];
    SMALL_CELL = One(20.0), "Wh" "", "Largest energy of a small cell", TRANSPORT, 2014, ["cell"];
    SMALL_BATTERY = One(100.0), "Wh" "", "Largest energy of a small battery", TRANSPORT, 2014, ["cell"];
    SIZE_DISAGREES = One(5.0), "%" "",
        "Difference above which a recorded and a measured size of a cell disagree", PRACTICE, 2026, ["cell"];
    PHOSPHATE_VOLTAGES = Between(3.2, 3.65), "V" "", "Nominal and charge-limit voltage that go together on a label", "data sheets of cells, from memory", 2026, ["cell"];
    CELL_VOLTAGES_3_6 = Between(3.6, 4.2), "V" "", "Nominal and charge-limit voltage that go together on a label", "data sheets of cells, from memory", 2026, ["cell"];
    CELL_VOLTAGES_3_7 = Between(3.7, 4.2), "V" "", "Nominal and charge-limit voltage that go together on a label", "data sheets of cells, from memory", 2026, ["cell"];
    CELL_VOLTAGES_3_8 = Between(3.8, 4.35), "V" "", "Nominal and charge-limit voltage that go together on a label", "common practice, from memory; an article on charging gives the limit", 2026, ["cell"];
    CELL_VOLTAGES_3_85 = Between(3.85, 4.4), "V" "", "Nominal and charge-limit voltage that go together on a label", MEMORY, 2026, ["cell"];
    CELL_VOLTAGES_3_87 = Between(3.87, 4.45), "V" "", "Nominal and charge-limit voltage that go together on a label", MEMORY, 2026, ["cell"];
    LABEL_ROUNDING = One(0.005), "V" "", "Difference within which printed voltages are the same: labels print two decimals", PRACTICE, 2026, ["cell"];
    HOT_FOR_A_CELL = One(60.0), "°C" "",
        "Temperature of a step above which it endangers a lithium cell", PRACTICE, 2026, ["opening"];
    TOOL_CHANGE = One(1.0), "s" "",
        "Time of a change of tool, so that of equal orders the one with fewest changes wins", PRACTICE, 2026, ["opening"];
    RATED_FAR_ABOVE = One(1.5), "" "",
        "A rating more than this many times what is used is explained in words", PRACTICE, 2026, ["power", "claims"];
    CLAIM_DECIDED = One(0.95), "" "",
        "Probability from which a claim holds; below one less this it fails", PRACTICE, 2026, ["claims", "protection"];
    WHITE_EFFICACY_MOST = One(370.0), "lm/W" "",
        "Greatest luminous efficacy of white light",
        "T. W. Murphy, Maximum spectral luminous efficacy of white light, Journal of Applied Physics 111, \
         104909: 250 lm/W to 370 lm/W by how white is taken, from memory", 2012, ["claims"];
    TEST_UNCERTAINTY_RATIO = One(10.0), "" "",
        "Tolerance over the uncertainty that a measurement should have", PRACTICE, 2026, ["claims"];
    MASS_EXACTLY = One(2.0), "%" "", "Tolerance of a claimed mass", PRACTICE, 2026, ["claims"];
    MASS_ABOUT = One(5.0), "%" "", "Tolerance of a claimed mass with `about`", PRACTICE, 2026, ["claims"];
    SIZE_EXACTLY = One(1.0), "%" "", "Tolerance of a claimed size", PRACTICE, 2026, ["claims"];
    SIZE_ABOUT = One(3.0), "%" "", "Tolerance of a claimed size with `about`", PRACTICE, 2026, ["claims"];
    CAPACITY_EXACTLY = One(3.0), "%" "",
        "Tolerance of a claimed capacity or energy: rate, temperature and cut-off of a test differ from the maker's",
        "common practice; that rated capacity is a minimum: IEC 61960-3:2017, from memory", 2026, ["claims"];
    CAPACITY_ABOUT = One(5.0), "%" "", "Tolerance of a claimed capacity or energy with `about`", PRACTICE, 2026, ["claims"];
    NOISE_EXACTLY = One(0.0), "%" "", "Tolerance of a claimed noise reduction", PRACTICE, 2026, ["claims"];
    NOISE_ABOUT = One(5.0), "%" "", "Tolerance of a claimed noise reduction with `about`", PRACTICE, 2026, ["claims"];
    SOUND_OVER_QUIET = One(::sound::level::LEAST_MARGIN), "dB" "",
        "Margin over quiet below which a loss is told as a lower bound", PRACTICE, 2026, ["sound"];
    SOUND_AMBIGUOUS = One(::sound::delay::AMBIGUOUS), "" "",
        "Height of another peak of the correlation, as a share of the highest, from which no delay is told: the sound repeats itself",
        PRACTICE, 2026, ["sound"];
    SOUND_EARLIER = One(::sound::delay::EARLIER), "" "",
        "Height of an earlier peak, as a share of the highest, from which the highest may be an echo", PRACTICE, 2026, ["sound"];
    SOUND_OVER_NOISE = One(::sound::delay::OVER_NOISE), "" "",
        "Height of a peak over the spread of the correlation from which it is one", PRACTICE, 2026, ["sound"];
    SOUND_CLOCKS = One(::sound::drift::CLOCKS_PPM * 1e-4), "%" "",
        "Difference of two clocks from which a rate is taken to be stated wrongly: crystals differ by less than a tenth of it",
        PRACTICE, 2026, ["sound"];
    SOUND_FARTHER = Between(-0.5, 0.5), "m" "",
        "How much farther a sound travels to one microphone than to another on a bench, where nobody noted it",
        PRACTICE, 2026, ["sound"];
    SOUND_SPEED = Between(337.3, 349.0), "m/s" "", "Speed of sound in a room of 10 °C to 30 °C",
        "331.3 √(1 + T/273.15) m/s (O. Cramer, The variation of the specific heat ratio and the speed of sound in air, \
         Journal of the Acoustical Society of America 93, 2510, to first order), from memory", 1993, ["sound"];
    POWER_EXACTLY = One(10.0), "%" "", "Tolerance of a claimed power, and of a stated limit of a converter",
        "IEC 60335-1, 10.1: deviation of the power input of appliances of 25 W to 200 W, from memory", 2026, ["claims"];
    SUPPLY_VOLTAGE = One(5.0), "%" "", "Tolerance of a supply voltage that a test of a rating uses",
        "USB Power Delivery Specification, fixed supply, from memory", 2026, ["claims"];
    CABLE_DROP = One(0.75), "V" "", "Most that a cable may lose in both conductors at its rated current",
        "USB Type-C Cable and Connector Specification, 4.4.1: 500 mV and 250 mV, as quoted in a public article", 2026, ["claims"];
    UNMARKED_CABLE = One(3.0), "A" "", "Most current through a USB Type-C cable without a marker chip",
        "USB Type-C Cable and Connector Specification, from memory", 2026, ["claims"];
    OTHER_VOLTAGE = One(20.0), "%" "",
        "Difference above which a voltage is another than the cell's: nominal and full charge differ by less",
        PRACTICE, 2026, ["claims"];
    OTHER_EXACTLY = One(5.0), "%" "", "Tolerance of any other claimed figure", PRACTICE, 2026, ["claims"];
    OTHER_ABOUT = One(10.0), "%" "", "Tolerance of any other claimed figure with `about`", PRACTICE, 2026, ["claims"];
    AGE_APART = One(3.5), "" "",
        "Modified z-score beyond which an age stands apart",
        "B. Iglewicz, D. Hoaglin, How to Detect and Handle Outliers: modified z-score, limit 3.5", 1993, ["codes"];
    LEAST_AGE_SPREAD = One(28.0), "d" "",
        "Smallest spread of ages: parts of one delivery differ by four weeks", PRACTICE, 2026, ["codes"];
    CODE_TOO_LATE = One(731.0), "d" "",
        "A code more than this after the opening, two years, is not taken for a date", PRACTICE, 2026, ["codes"];
    NARRATION_RATE = Triangular(120.0, 150.0, 183.0), "" " words a minute",
        "Rate at which a script is said, figures counted as the words that say them",
        "reading aloud takes 183 words a minute on average over 77 studies (M. Brysbaert, How many words do we read per \
         minute?, as quoted); 150 is often advised for narration, pages without a study; 120 to 130 by a key for \
         educational captions, older edition", 2019, ["opening"];
    RARE_PART = One(10.0), "%" "",
        "Share of products from which a part is no longer rare", PRACTICE, 2026, ["standing"];
    CODE_TAKEN = One(0.5), "" "",
        "Share among all readings from which a code is taken for a date", PRACTICE, 2026, ["codes"];
}
