//! What is known of each chemistry, one entry each.

use super::{Chemistry, Family};
use crate::assumed::{self, Row};

/// What is known of one chemistry.
pub(super) struct ChemistryRow {
    pub(super) chemistry: Chemistry,
    pub(super) words: &'static str,
    pub(super) symbol: &'static str,
    pub(super) family: Family,
    pub(super) rechargeable: Option<bool>,
    pub(super) nominal: Option<&'static Row>,
    pub(super) limit: Option<&'static Row>,
    /// Specific energy and energy density, where they hang on the chemistry alone.
    pub(super) reach: Option<(&'static Row, &'static Row)>,
    /// Letters and digits of its names, small; compared with whole words of what is written.
    pub(super) spellings: &'static str,
}

impl ChemistryRow {
    /// Returns whether a name is one of its spellings.
    pub(super) fn spelled(&self, name: &str) -> bool {
        self.spellings.split_whitespace().any(|s| s == name)
    }
}

/// All of them.
pub(super) const KNOWN: &[ChemistryRow] = &[
    ChemistryRow {
        chemistry: Chemistry::LithiumIon,
        words: "lithium ion",
        symbol: "Li-ion",
        family: Family::LithiumIon,
        rechargeable: Some(true),
        nominal: Some(&assumed::LITHIUM_ION_NOMINAL),
        limit: Some(&assumed::LITHIUM_ION_LIMIT),
        reach: None,
        spellings: "liion lion lithiumion lithiumions lithiumionen ionlithium ionsdelithium lipo lipoly \
            lipolymer lithiumpoly lithiumpolymer liionpolymer liionpo lithiumionpolymer \
            polymerlithium polymerlithiumion lip lib lir rechargeablelithium lithiumrechargeable lco \
            licoo2 nmc ncm linimncoo2 nca linicoalo2 lmo limn2o4 lihv icr inr imr ncr icp inp \
            lithiumcobalt lithiumcobaltoxide lithiumnickelmanganesecobaltoxide \
            lithiumnickelcobaltaluminiumoxide lithiumnickelcobaltaluminumoxide lithiummanganeseoxide \
            锂离子 锂离子电池 鋰離子 鋰離子電池 锂聚合物 聚合物锂 聚合物锂离子 リチウムイオン リチウムイオン電池 리튬이온 литийионный литийионная \
            литийполимерный литийполимерная",
    },
    ChemistryRow {
        chemistry: Chemistry::SiliconAnode,
        words: "lithium ion with a silicon anode",
        symbol: "Li-ion (Si)",
        family: Family::LithiumIon,
        rechargeable: Some(true),
        nominal: Some(&assumed::SILICON_NOMINAL),
        limit: Some(&assumed::LITHIUM_ION_LIMIT),
        reach: None,
        spellings: "silicon siliconanode siliconcarbon sic siliconlithium lithiumsilicon lisi silicium 硅碳 \
            硅负极",
    },
    ChemistryRow {
        chemistry: Chemistry::IronPhosphate,
        words: "lithium iron phosphate",
        symbol: "LiFePO4",
        family: Family::LithiumIon,
        rechargeable: Some(true),
        nominal: Some(&assumed::PHOSPHATE_NOMINAL),
        limit: Some(&assumed::PHOSPHATE_LIMIT),
        reach: Some((&assumed::PHOSPHATE_SPECIFIC, &assumed::PHOSPHATE_DENSITY)),
        spellings: "lifepo4 lifepo lfp ifr ifp ironphosphate lithiumironphosphate lithiumferrophosphate \
            lithiumferrousphosphate ferrophosphate lithiumphosphate lithiumeisenphosphat 磷酸铁锂 磷酸鐵鋰 \
            литийжелезофосфатный",
    },
    ChemistryRow {
        chemistry: Chemistry::Titanate,
        words: "lithium ion with a titanate anode",
        symbol: "LTO",
        family: Family::LithiumIon,
        rechargeable: Some(true),
        nominal: Some(&assumed::TITANATE_NOMINAL),
        limit: Some(&assumed::TITANATE_LIMIT),
        reach: Some((&assumed::TITANATE_SPECIFIC, &assumed::TITANATE_DENSITY)),
        spellings: "lto li4ti5o12 titanate lithiumtitanate lithiumtitanateoxide lithiumtitaniumoxide 钛酸锂",
    },
    ChemistryRow {
        chemistry: Chemistry::SodiumIon,
        words: "sodium ion",
        symbol: "Na-ion",
        family: Family::SodiumIon,
        rechargeable: Some(true),
        nominal: Some(&assumed::SODIUM_NOMINAL),
        limit: Some(&assumed::SODIUM_LIMIT),
        reach: Some((&assumed::SODIUM_SPECIFIC, &assumed::SODIUM_DENSITY)),
        spellings: "naion sodiumion natriumion natriumionen sib nib sodium 钠离子 鈉離子 натрийионный",
    },
    ChemistryRow {
        chemistry: Chemistry::NickelMetalHydride,
        words: "nickel-metal hydride",
        symbol: "NiMH",
        family: Family::NickelMetalHydride,
        rechargeable: Some(true),
        nominal: Some(&assumed::NICKEL_NOMINAL),
        limit: None,
        reach: Some((
            &assumed::METAL_HYDRIDE_SPECIFIC,
            &assumed::METAL_HYDRIDE_DENSITY,
        )),
        spellings: "nimh nickelmetalhydride nickelmetallhydrid metalhydride nickelhydride lsdnimh hr 镍氢 鎳氫 \
            никельметаллгидридный",
    },
    ChemistryRow {
        chemistry: Chemistry::NickelCadmium,
        words: "nickel-cadmium",
        symbol: "NiCd",
        family: Family::NickelCadmium,
        rechargeable: Some(true),
        nominal: Some(&assumed::NICKEL_NOMINAL),
        limit: None,
        reach: Some((&assumed::CADMIUM_SPECIFIC, &assumed::CADMIUM_DENSITY)),
        spellings: "nicd nicad nickelcadmium kr 镍镉 鎳鎘 никелькадмиевый",
    },
    ChemistryRow {
        chemistry: Chemistry::LeadAcid,
        words: "lead-acid",
        symbol: "lead-acid",
        family: Family::LeadAcid,
        rechargeable: Some(true),
        nominal: Some(&assumed::LEAD_NOMINAL),
        limit: Some(&assumed::LEAD_LIMIT),
        reach: Some((&assumed::LEAD_SPECIFIC, &assumed::LEAD_DENSITY)),
        spellings: "lead leadacid pb sla vrla agm leadgel 铅酸 鉛酸",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumManganeseDioxide,
        words: "lithium and manganese dioxide",
        symbol: "Li-MnO2",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::LITHIUM_METAL_NOMINAL),
        limit: None,
        reach: Some((&assumed::MANGANESE_SPECIFIC, &assumed::MANGANESE_DENSITY)),
        spellings: "limno2 lithiummno2 cr lithiummanganesedioxide lithiumandmanganesedioxide \
            manganesedioxidelithium 锂锰 锂二氧化锰",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumThionylChloride,
        words: "lithium and thionyl chloride",
        symbol: "Li-SOCl2",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::THIONYL_NOMINAL),
        limit: None,
        reach: Some((&assumed::THIONYL_SPECIFIC, &assumed::THIONYL_DENSITY)),
        spellings: "lisocl2 socl2 ltc thionylchloride lithiumthionylchloride lithiumandthionylchloride \
            lithiumthionyl thionyl 锂亚 锂亚硫酰氯",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumSulfurDioxide,
        words: "lithium and sulfur dioxide",
        symbol: "Li-SO2",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::LITHIUM_METAL_NOMINAL),
        limit: None,
        reach: Some((
            &assumed::SULFUR_DIOXIDE_SPECIFIC,
            &assumed::SULFUR_DIOXIDE_DENSITY,
        )),
        spellings: "liso2 so2 sulfurdioxide sulphurdioxide lithiumsulfurdioxide lithiumsulphurdioxide lithiumso2",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumIronDisulfide,
        words: "lithium and iron disulfide",
        symbol: "Li-FeS2",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::ZINC_NOMINAL),
        limit: None,
        reach: Some((&assumed::DISULFIDE_SPECIFIC, &assumed::DISULFIDE_DENSITY)),
        spellings: "lifes2 fr lithiumirondisulfide lithiumirondisulphide irondisulfide irondisulphide",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumCarbonMonofluoride,
        words: "lithium and carbon monofluoride",
        symbol: "Li-CFx",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::LITHIUM_METAL_NOMINAL),
        limit: None,
        reach: Some((
            &assumed::MONOFLUORIDE_SPECIFIC,
            &assumed::MONOFLUORIDE_DENSITY,
        )),
        spellings: "licfx licf br lithiumcarbonmonofluoride lithiumandcarbonmonofluoride \
            lithiumpolycarbonmonofluoride carbonmonofluoride",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumMetal,
        words: "lithium metal",
        symbol: "Li metal",
        family: Family::LithiumMetal,
        rechargeable: Some(false),
        nominal: Some(&assumed::LITHIUM_METAL_NOMINAL),
        limit: None,
        reach: None,
        spellings: "lithiummetal limetal lithiumprimary primarylithium nonrechargeablelithium \
            lithiumnonrechargeable lithiumcoin lithiumbutton",
    },
    ChemistryRow {
        chemistry: Chemistry::LithiumAlloy,
        words: "lithium alloy, rechargeable",
        symbol: "ML",
        family: Family::LithiumMetal,
        rechargeable: Some(true),
        nominal: Some(&assumed::LITHIUM_METAL_NOMINAL),
        limit: Some(&assumed::LITHIUM_ALLOY_LIMIT),
        reach: Some((&assumed::ALLOY_SPECIFIC, &assumed::ALLOY_DENSITY)),
        spellings: "ml ms vl manganeselithium manganeseandlithium vanadiumlithium vanadiumandlithium \
            vanadiumpentoxidelithium lithiumalloy",
    },
    ChemistryRow {
        chemistry: Chemistry::Lithium,
        words: "lithium of no stated sort",
        symbol: "lithium",
        family: Family::Lithium,
        rechargeable: None,
        nominal: None,
        limit: None,
        reach: None,
        spellings: "li lithium литий литиевый литиевая 锂 鋰 リチウム 리튬",
    },
    ChemistryRow {
        chemistry: Chemistry::Alkaline,
        words: "alkaline",
        symbol: "alkaline",
        family: Family::Zinc,
        rechargeable: Some(false),
        nominal: Some(&assumed::ZINC_NOMINAL),
        limit: None,
        reach: Some((&assumed::ALKALINE_SPECIFIC, &assumed::ALKALINE_DENSITY)),
        spellings: "alkaline alkali alkalimanganese alkalinemanganese alkalinemanganesedioxide znmno2 \
            zincmanganesedioxide lr 碱性 щелочной щелочная",
    },
    ChemistryRow {
        chemistry: Chemistry::ZincCarbon,
        words: "zinc-carbon",
        symbol: "zinc-carbon",
        family: Family::Zinc,
        rechargeable: Some(false),
        nominal: Some(&assumed::ZINC_NOMINAL),
        limit: None,
        reach: Some((&assumed::CARBON_SPECIFIC, &assumed::CARBON_DENSITY)),
        spellings: "zinccarbon carbonzinc zincchloride heavyduty zncarbon znc 碳性",
    },
    ChemistryRow {
        chemistry: Chemistry::SilverOxide,
        words: "silver oxide",
        symbol: "silver oxide",
        family: Family::Zinc,
        rechargeable: Some(false),
        nominal: Some(&assumed::ZINC_NOMINAL),
        limit: None,
        reach: Some((&assumed::SILVER_SPECIFIC, &assumed::SILVER_DENSITY)),
        spellings: "silver silveroxide silverzinc zincsilveroxide ag2o agzn znag2o sr 氧化银",
    },
    ChemistryRow {
        chemistry: Chemistry::ZincAir,
        words: "zinc-air",
        symbol: "zinc-air",
        family: Family::Zinc,
        rechargeable: Some(false),
        nominal: Some(&assumed::ZINC_AIR_NOMINAL),
        limit: None,
        reach: Some((&assumed::ZINC_AIR_SPECIFIC, &assumed::ZINC_AIR_DENSITY)),
        spellings: "zincair airzinc znair zincandair zincluft zinkluft pr 锌空气",
    },
];

/// A chemistry that nothing is known of.
pub(super) const UNKNOWN: ChemistryRow = ChemistryRow {
    chemistry: Chemistry::Unknown,
    words: "unknown",
    symbol: "unknown",
    family: Family::Unknown,
    rechargeable: None,
    nominal: None,
    limit: None,
    reach: None,
    spellings: "",
};
