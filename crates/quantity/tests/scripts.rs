//! Quantities written in other scripts, against the same in Latin letters. Names: GB 3100-1993 (Chinese), GOST 8.417-2002
//! (Russian); for the other languages the wording of labels.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use quantity::Stated;

#[test]
fn units_in_other_scripts_are_read_and_printed_in_the_international_symbol() {
    let rows = [
        ("42 克", "42 g"),
        ("1.2千克", "1.2 kg"),
        ("350毫克", "350 mg"),
        ("12.5 毫米", "12.5 mm"),
        ("30厘米", "30 cm"),
        ("1 米", "1 m"),
        ("40小时", "40 h"),
        ("15 分钟", "15 min"),
        ("３０秒", "30 s"),
        ("5000毫安时", "5000 mAh"),
        ("18.5瓦时", "18.5 Wh"),
        ("500毫安", "500 mA"),
        ("２．４ 安", "2.4 A"),
        ("5伏", "5 V"),
        ("20瓦", "20 W"),
        ("48 グラム", "48 g"),
        ("12ミリ", "12 mm"),
        ("8時間", "8 h"),
        ("90 분", "90 min"),
        ("6시간", "6 h"),
        ("55그램", "55 g"),
        ("42 г", "42 g"),
        ("1,2 кг", "1.2 kg"),
        ("12,5 мм", "12.5 mm"),
        ("3 см", "3 cm"),
        ("2 м", "2 m"),
        ("40 ч", "40 h"),
        ("15 мин", "15 min"),
        ("30 с", "30 s"),
        ("5000 мА·ч", "5000 mAh"),
        ("600 мАч", "600 mAh"),
        ("2 А·ч", "2 Ah"),
        ("18,5 Вт·ч", "18.5 Wh"),
        ("5 В", "5 V"),
        ("2 А", "2 A"),
        ("20 Вт", "20 W"),
        ("10 мкА", "10 µA"),
        ("42 γραμμάρια", "42 g"),
        ("12 χιλιοστά", "12 mm"),
        ("8 ώρες", "8 h"),
        ("42 غ", "42 g"),
        ("12 مم", "12 mm"),
        ("8 ساعات", "8 h"),
        ("٤٢ غرام", "42 g"),
        ("42 גרם", "42 g"),
        ("1.2 ק״ג", "1.2 kg"),
        ("12 מ\"מ", "12 mm"),
        ("8 שעות", "8 h"),
        ("－５ ℃", "-5 °C"),
    ];
    for (written, latin) in rows {
        let read = Stated::parse(written).unwrap_or_else(|e| panic!("{written}: {e}"));
        let same = Stated::parse(latin).unwrap();
        assert_eq!(read.value, same.value, "{written}");
        assert_eq!(read.unit.symbol(), same.unit.symbol(), "{written}");
        assert_eq!(read.unit, same.unit, "{written}");
    }
}

#[test]
fn words_of_other_scripts_that_are_no_units_are_refused() {
    for written in ["5 米兰", "5 мок", "5 שלום", "5 Вч"] {
        assert!(Stated::parse(written).is_err(), "{written}");
    }
}
