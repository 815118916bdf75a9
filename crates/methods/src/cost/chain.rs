//! What the price paid leaves for building.
//!
//! In: the price paid, tax and what traders keep. Out: what reaches the maker, beside what building takes.
//! Not here: what a fair price is.

use super::taken::{currency, money};
use crate::grounds::Grounds;
use crate::words::percent;
use crate::{Case, Finding, Method};
use ::cost::Band;
use quantity::{Dimension, Input, Origin, Sheet, Source, Stated, Unit};
use record::Place;

/// Tells what the price paid leaves; nothing where the record does not say what traders keep.
pub(super) fn paid(case: &Case<'_>, band: &Band) -> Option<Finding> {
    let asked = case.dossier.cost.as_ref()?;
    let price = case.dossier.product.price.as_ref()?;
    let margin = asked.trade_margin.as_ref()?;
    let wanted = currency(case);
    let mut grounds = Grounds::default();
    let title = "What the price paid leaves for building";
    let mut finding = Finding::new(Method::Cost, word!("paid"), title);
    if money(&price.paid)? != wanted {
        return None;
    }
    let sheet = Sheet::new();
    let paid = grounds.nominal(
        &sheet,
        "price paid",
        &price.paid,
        Dimension::money(wanted),
        Origin::Label,
        Place::product().at("price.paid"),
    )?;
    let share = |name: &str, stated: &Stated, key: &str, origin| {
        let source = Source {
            origin,
            evidence: vec![(&Place::dossier().at(key)).into()],
            note: String::new(),
        };
        sheet.input(Input::stated(name, stated, None, source))
    };
    let mut left = paid;
    if price.tax_included != Some(false) {
        let tax = asked.tax.as_ref()?;
        left = left / (1.0 + share("tax", tax, "cost.tax", Origin::Standard));
    }
    left = left
        * (1.0
            - share(
                "kept by traders",
                margin,
                "cost.trade-margin",
                Origin::Estimated,
            ));
    let money = Unit::coherent(Dimension::money(wanted));
    let left = left.named("what reaches the maker", &money);
    let figure = sheet.figure(left).ok()?;
    let [low, high] = [band.low, band.high].map(|end| percent(end / figure.value));
    let takes = match low == high {
        true => format!("takes {low} of that"),
        false => format!("takes {low} to {high} of that, 8 times in 10"),
    };
    finding.sentence = format!(
        "Of {} paid, {} reach the maker; building {takes}.",
        price.paid, figure.text
    );
    finding.add_figure(word!("left"), figure);
    grounds.assume("Discounts, returns, advertising and development are in what is left");
    grounds.close(&mut finding);
    Some(finding)
}
