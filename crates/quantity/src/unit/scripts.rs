//! Names and symbols of units in other scripts than Latin, each with the international symbol that is printed.
//!
//! Sources: Chinese: GB 3100-1993, names as public reprints of its tables give them (`[小]时` is both 时 and 小时).
//! Russian: GOST 8.417-2002 (now 8.417-2024), symbols of units and prefixes `from memory`. Japanese, Korean, Greek,
//! Arabic, Hebrew: names as Unicode CLDR gives them for the languages ja, ko, el, ar, he, `from memory`. Spellings
//! without the point of a product (мАч) and
//! the Arabic كجم, مجم: `common practice` of labels.

use crate::glyph::fold_to_string;

/// Spellings that are units by themselves.
const NAMES: &[(&str, &[&str])] = &[
    (
        "g",
        &[
            "克",
            "グラム",
            "그램",
            "γρ",
            "γραμμάρια",
            "γραμμάριο",
            "غ",
            "غرام",
            "جم",
            "جرام",
            "גרם",
            "גר׳",
        ],
    ),
    (
        "kg",
        &[
            "千克",
            "公斤",
            "キログラム",
            "킬로그램",
            "κιλά",
            "κιλό",
            "χλγ",
            "كغ",
            "كغم",
            "كجم",
            "كيلوغرام",
            "ק״ג",
            "קילוגרם",
        ],
    ),
    (
        "mg",
        &[
            "毫克",
            "ミリグラム",
            "밀리그램",
            "χιλιοστόγραμμα",
            "مغ",
            "ملغ",
            "ملغم",
            "مجم",
            "מ״ג",
            "מיליגרם",
        ],
    ),
    (
        "mm",
        &[
            "毫米",
            "ミリメートル",
            "ミリ",
            "밀리미터",
            "밀리",
            "χιλ",
            "χιλιοστά",
            "χιλιοστό",
            "مم",
            "ملم",
            "مليمتر",
            "מ״מ",
            "מילימטר",
        ],
    ),
    (
        "cm",
        &[
            "厘米",
            "公分",
            "センチメートル",
            "センチ",
            "센티미터",
            "εκ",
            "εκατοστά",
            "سم",
            "سنتيمتر",
            "ס״מ",
            "סנטימטר",
        ],
    ),
    (
        "m",
        &[
            "米",
            "公尺",
            "メートル",
            "미터",
            "μέτρα",
            "μέτρο",
            "م",
            "متر",
            "מטר",
        ],
    ),
    ("µm", &["微米", "マイクロメートル", "마이크로미터"]),
    (
        "h",
        &[
            "小时",
            "小時",
            "时",
            "時間",
            "시간",
            "ώρα",
            "ώρες",
            "ساعة",
            "ساعات",
            "שעה",
            "שעות",
        ],
    ),
    (
        "min",
        &[
            "分钟",
            "分鐘",
            "分",
            "分間",
            "분",
            "λεπτά",
            "λεπτό",
            "دقيقة",
            "دقائق",
            "דקה",
            "דקות",
        ],
    ),
    (
        "s",
        &[
            "秒",
            "秒間",
            "초",
            "δευτερόλεπτα",
            "δευτερόλεπτο",
            "ثانية",
            "ثوان",
            "ثواني",
            "שנייה",
            "שניות",
        ],
    ),
    (
        "d",
        &[
            "天",
            "日間",
            "일",
            "ημέρες",
            "ημέρα",
            "يوم",
            "أيام",
            "יום",
            "ימים",
            "сут",
        ],
    ),
    (
        "A",
        &["安", "安培", "アンペア", "암페어", "αμπέρ", "أمبير", "אמפר"],
    ),
    (
        "mA",
        &[
            "毫安",
            "ミリアンペア",
            "밀리암페어",
            "ملي أمبير",
            "מיליאמפר",
        ],
    ),
    ("µA", &["微安", "マイクロアンペア"]),
    (
        "V",
        &[
            "伏",
            "伏特",
            "ボルト",
            "볼트",
            "βολτ",
            "فولت",
            "וולט",
            "ולט",
        ],
    ),
    ("mV", &["毫伏", "ミリボルト", "밀리볼트"]),
    (
        "W",
        &[
            "瓦",
            "瓦特",
            "ワット",
            "와트",
            "βατ",
            "واط",
            "وات",
            "ואט",
            "וואט",
        ],
    ),
    ("mW", &["毫瓦", "ミリワット"]),
    ("kW", &["千瓦", "キロワット", "킬로와트"]),
    (
        "mAh",
        &[
            "毫安时",
            "毫安時",
            "毫安小时",
            "ミリアンペア時",
            "밀리암페어시",
            "ملي أمبير ساعة",
            "מיליאמפר שעה",
        ],
    ),
    (
        "Ah",
        &[
            "安时",
            "安時",
            "安培小时",
            "アンペア時",
            "암페어시",
            "أمبير ساعة",
            "אמפר שעה",
        ],
    ),
    (
        "Wh",
        &[
            "瓦时",
            "瓦時",
            "瓦特小时",
            "ワット時",
            "와트시",
            "βατώρες",
            "واط ساعة",
            "ואט שעה",
        ],
    ),
    ("kWh", &["千瓦时", "千瓦時", "キロワット時", "킬로와트시"]),
    ("Ω", &["欧", "欧姆", "オーム", "옴", "אוהם", "أوم"]),
    ("Hz", &["赫", "赫兹", "ヘルツ", "헤르츠", "הרץ", "هرتز"]),
    ("L", &["升", "リットル", "리터", "λίτρα", "لتر", "ליטר"]),
    ("mL", &["毫升", "ミリリットル", "밀리리터"]),
    (
        "dB",
        &["分贝", "デシベル", "데시벨", "дБ", "ديسيبل", "דציבל"],
    ),
    ("°C", &["℃", "摄氏度", "°С"]),
    ("min", &["мин"]),
];

/// Russian symbols that take prefixes.
const RUSSIAN: &[(&str, &str)] = &[
    ("А·ч", "Ah"),
    ("Ач", "Ah"),
    ("А ч", "Ah"),
    ("Вт·ч", "Wh"),
    ("Втч", "Wh"),
    ("Вт ч", "Wh"),
    ("Вт", "W"),
    ("Гц", "Hz"),
    ("Ом", "Ω"),
    ("Дж", "J"),
    ("Па", "Pa"),
    ("Кл", "C"),
    ("Гн", "H"),
    ("А", "A"),
    ("В", "V"),
    ("Н", "N"),
    ("Ф", "F"),
    ("г", "g"),
    ("м", "m"),
    ("с", "s"),
    ("л", "L"),
];

/// Russian symbols without prefixes.
const RUSSIAN_ALONE: &[(&str, &str)] = &[("ч", "h"), ("мин", "min"), ("т", "t"), ("шт", "pcs")];

/// Russian prefixes.
const RUSSIAN_PREFIXES: &[(&str, &str)] = &[
    ("мк", "µ"),
    ("м", "m"),
    ("с", "c"),
    ("д", "d"),
    ("к", "k"),
    ("М", "M"),
    ("Г", "G"),
    ("н", "n"),
    ("п", "p"),
];

/// Returns the international symbol of a unit that is written in another script; the text is folded already.
pub(super) fn international(text: &str) -> Option<String> {
    // Ohm and micro aside, what follows Latin in Unicode begins with Greek.
    let is_other = |c: char| c >= '\u{370}' && c.is_alphabetic() && c != 'Ω';
    if !text.chars().any(is_other) {
        return None;
    }
    let text = text.replace('"', "״");
    let named = |spelling: &&&str| fold_to_string(spelling) == text;
    if let Some((symbol, _)) = NAMES.iter().find(|(_, all)| all.iter().any(|s| named(&s))) {
        return Some((*symbol).to_string());
    }
    russian(&text)
}

fn russian(text: &str) -> Option<String> {
    let find = |list: &[(&str, &str)], text: &str| {
        let found = list.iter().find(|(s, _)| fold_to_string(s) == text);
        found.map(|(_, symbol)| (*symbol).to_string())
    };
    find(RUSSIAN, text)
        .or_else(|| find(RUSSIAN_ALONE, text))
        .or_else(|| {
            RUSSIAN_PREFIXES.iter().find_map(|(prefix, latin)| {
                let rest = text.strip_prefix(prefix)?;
                Some(format!("{latin}{}", find(RUSSIAN, rest)?))
            })
        })
}
