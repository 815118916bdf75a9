//! The working as text: with names, with numbers, the result.
//!
//! In: a term. Out: one line for each named sub-result and then one for the term, as in
//! `energy = capacity × nominal voltage = 1200 mAh × 3.85 V = 4.62 ± 0.14 Wh`, where ± is half the
//! 95 % interval. Not here: the digits (`format.rs`).
//!
//! Numbers put in carry one digit more than their own uncertainty would print, so that a reader
//! who follows the line arrives at the printed result. A sub-result is told the same way: its ± is printed
//! where it is a result itself, as found by the method that serves it, and nowhere by a lesser one.

use super::node::{Node, Op};
use super::program::Program;
use super::propagate::FirstOrder;
use super::term_figure::shown;
use super::{Sheet, SheetError, State, Term, not_finite};
use crate::{COVERED, Unit, format_quantity};
use std::collections::BTreeMap;

/// Summands written out; a longer sum is told by their number.
const LONGEST_SUM: usize = 8;
/// Arguments of a model written out; of more the first are told and the number of the others.
const LONGEST_CALL: usize = 8;
/// Nesting written out; what lies deeper is an ellipsis.
const DEEPEST: usize = 40;

impl Sheet {
    /// Returns the working: for each named sub-result and then the term one line
    /// `energy = capacity × nominal voltage = 1200 mAh × 3.85 V = 4.62 ± 0.14 Wh`, where ± is half
    /// the 95 % interval of a normal distribution with the first-order standard uncertainty. It stands at the last
    /// line alone.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn working(&self, term: Term<'_>) -> Result<Vec<String>, SheetError> {
        self.working_to(term, Told::FirstOrder)
    }

    /// Returns the working with the result of its last line told in another way.
    pub(super) fn working_to(
        &self,
        term: Term<'_>,
        result: Told<'_>,
    ) -> Result<Vec<String>, SheetError> {
        self.program(&[term])?;
        let state = &*self.state.borrow();
        state.check_correlations()?;
        let is_result = |id: u32| matches!(state.nodes[id as usize].op, Op::Result(..));
        let shown: Vec<u32> = state
            .needed(term.id)
            .filter(|id| state.names.contains_key(id) || *id == term.id || is_result(*id))
            .collect();
        let program = Program::new(state, &shown, false);
        let first = FirstOrder::new(&program);
        let mut results = BTreeMap::new();
        let mut own_lines = BTreeMap::new();
        for (r, &id) in shown.iter().enumerate() {
            if !first.value(r).is_finite() {
                return Err(not_finite(&state.label(id)));
            }
            results.insert(id, (first.value(r), first.variance(r).sqrt()));
            if let Op::Result(call, k) = &state.nodes[id as usize].op
                && let Some(run) = program.run_in(call, &first.variables)
            {
                let lines = call
                    .model
                    .working(*k as usize, &run.arguments, &run.results);
                if !lines.is_empty() {
                    own_lines.insert(id, lines);
                }
            }
        }
        let writer = Writer {
            state,
            term: term.id,
            result,
            results: &results,
            own_lines: &own_lines,
        };
        let mut lines: Vec<String> = Vec::new();
        for &id in &shown {
            // What several results have in common is said once.
            for line in own_lines.get(&id).into_iter().flatten() {
                if !lines.contains(line) {
                    lines.push(line.clone());
                }
            }
            if id == term.id || state.names.contains_key(&id) {
                lines.push(writer.line(id));
            }
        }
        Ok(lines)
    }
}

impl State {
    /// Returns the nodes a node rests on, itself included, in the order of creation.
    pub(super) fn needed(&self, id: u32) -> impl Iterator<Item = u32> + use<> {
        let mut needed = vec![false; id as usize + 1];
        needed[id as usize] = true;
        for at in (0..=id as usize).rev() {
            if needed[at] {
                self.nodes[at].op.children(|c| needed[c as usize] = true);
            }
        }
        (0..=id).filter(move |&at| needed[at as usize])
    }

    /// Returns the unit a term is shown in.
    pub(super) fn unit(&self, id: u32) -> Unit {
        if let Some((_, unit)) = self.names.get(&id) {
            return unit.clone();
        }
        match self.nodes.get(id as usize).map(|n| &n.op) {
            Some(Op::Input(k)) => self.inputs[*k as usize].unit.clone(),
            _ => Unit::coherent(self.dimension(id)),
        }
    }
}

/// How the result of the last line is told.
#[derive(Debug, Clone, Copy)]
pub(super) enum Told<'a> {
    /// With ± of first order.
    FirstOrder,
    /// As a better method found it.
    As(&'a str),
    /// Without ±: another line tells what it really is.
    Number,
}

/// How strongly a piece of text holds together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Bond {
    Sum,
    Quotient,
    Product,
    /// A number with its unit, or a name of several words.
    Phrase,
    Atom,
}

/// Which text stands for an input.
#[derive(Clone, Copy, PartialEq)]
enum Style {
    Names,
    Numbers,
}

struct Writer<'a> {
    state: &'a State,
    /// The term that is worked out.
    term: u32,
    result: Told<'a>,
    /// Value and standard uncertainty of the named terms, in SI.
    results: &'a BTreeMap<u32, (f64, f64)>,
    /// What models say about their results.
    own_lines: &'a BTreeMap<u32, Vec<String>>,
}

impl Writer<'_> {
    fn line(&self, id: u32) -> String {
        let mut parts = Vec::new();
        let mut add = |text: String| {
            if parts.last() != Some(&text) {
                parts.push(text);
            }
        };
        if let Some((name, _)) = self.state.names.get(&id) {
            add(name.clone());
        }
        let is_input = matches!(self.state.nodes[id as usize].op, Op::Input(_));
        add(self.operation(id, Style::Names, 0).0);
        if !is_input {
            add(self.operation(id, Style::Numbers, 0).0);
        }
        let (value, uncertainty) = self.results.get(&id).copied().unwrap_or((f64::NAN, 0.0));
        add(match self.result {
            Told::As(text) if id == self.term => text.to_string(),
            Told::FirstOrder if id == self.term => {
                let half = COVERED * uncertainty;
                shown(value, (value - half, value + half), &self.state.unit(id))
            }
            _ => number(value, uncertainty, &self.state.unit(id)).0,
        });
        parts.join(" = ")
    }

    /// Writes a term inside a formula: a named one by its name or value.
    fn text(&self, id: u32, style: Style, depth: usize) -> (String, Bond) {
        if let Some((name, unit)) = self.state.names.get(&id) {
            let (value, uncertainty) = self.results.get(&id).copied().unwrap_or((f64::NAN, 0.0));
            return match style {
                Style::Names => named(name),
                Style::Numbers => number(value, uncertainty, unit),
            };
        }
        self.operation(id, style, depth)
    }

    /// Writes the operation of a node, whether or not it has a name.
    fn operation(&self, id: u32, style: Style, depth: usize) -> (String, Bond) {
        if depth > DEEPEST {
            return ("…".into(), Bond::Atom);
        }
        let inside = |a: u32, least: Bond| {
            let (text, bond) = self.text(a, style, depth + 1);
            if bond < least {
                format!("({text})")
            } else {
                text
            }
        };
        let call = |name: &str, arguments: &[u32]| {
            let arguments: Vec<String> = arguments
                .iter()
                .map(|&a| self.text(a, style, depth + 1).0)
                .collect();
            (format!("{name}({})", arguments.join(", ")), Bond::Atom)
        };
        let Node { op, .. } = &self.state.nodes[id as usize];
        match op {
            Op::Input(k) => {
                let input = &self.state.inputs[*k as usize];
                match style {
                    Style::Names => named(&input.name),
                    Style::Numbers => number(
                        self.state.means[*k as usize],
                        self.state.uncertainties[*k as usize],
                        &input.unit,
                    ),
                }
            }
            Op::Number(x) => number(*x, 0.0, &Unit::coherent(crate::Dimension::NONE)),
            Op::Constant(x, unit) => number(*x, 0.0, &self.state.units[*unit as usize]),
            Op::Neg(a) => (format!("−{}", inside(*a, Bond::Quotient)), Bond::Sum),
            Op::Add(..) | Op::Sub(..) | Op::Sum(_) => self.sum(id, style, depth),
            Op::Mul(a, b) => (
                format!(
                    "{} × {}",
                    inside(*a, Bond::Product),
                    inside(*b, Bond::Product)
                ),
                Bond::Product,
            ),
            Op::Div(a, b) => (
                format!(
                    "{} / {}",
                    inside(*a, Bond::Product),
                    inside(*b, Bond::Phrase)
                ),
                Bond::Quotient,
            ),
            Op::Power(a, n) => {
                let exponent: String = n.to_string().chars().map(raised).collect();
                (format!("{}{exponent}", inside(*a, Bond::Atom)), Bond::Atom)
            }
            Op::PowerOf(a, b) => (
                format!("{}^{}", inside(*a, Bond::Atom), inside(*b, Bond::Atom)),
                Bond::Phrase,
            ),
            Op::Function(f, a) => call(f.name(), &[*a]),
            Op::Min(a, b) => call("min", &[*a, *b]),
            Op::Max(a, b) => call("max", &[*a, *b]),
            Op::Result(call, k) if self.own_lines.contains_key(&id) => {
                let name = &call.results[*k as usize];
                match (style, self.results.get(&id)) {
                    (Style::Numbers, Some(&(value, u))) => number(value, u, &self.state.unit(id)),
                    _ => named(name),
                }
            }
            Op::Result(model, k) if model.arguments.len() > LONGEST_CALL => {
                let (told, others) = model.arguments.split_at(LONGEST_CALL - 2);
                let told: Vec<String> = told
                    .iter()
                    .map(|&a| self.text(a, style, depth + 1).0)
                    .collect();
                let (name, told) = (&model.results[*k as usize], told.join(", "));
                let text = format!("{name}({told}, and {} more)", others.len());
                (text, Bond::Atom)
            }
            Op::Result(model, k) => call(&model.results[*k as usize], &model.arguments),
        }
    }

    fn sum(&self, root: u32, style: Style, depth: usize) -> (String, Bond) {
        let summands = self.summands(root);
        if summands.len() > LONGEST_SUM {
            return (format!("Σ of {} terms", summands.len()), Bond::Sum);
        }
        let mut line = String::new();
        for (i, &(id, negative)) in summands.iter().enumerate() {
            let (text, bond) = self.text(id, style, depth + 1);
            line.push_str(match (i, negative) {
                (0, true) => "−",
                (0, false) => "",
                (_, true) => " − ",
                (_, false) => " + ",
            });
            if bond == Bond::Sum && (i > 0 || negative) {
                line.push_str(&format!("({text})"));
            } else {
                line.push_str(&text);
            }
        }
        (line, Bond::Sum)
    }

    /// Lists the summands of nested unnamed sums, with whether they are taken off. What is taken
    /// off as a whole stays whole.
    fn summands(&self, root: u32) -> Vec<(u32, bool)> {
        let mut summands = Vec::new();
        let mut open = vec![(root, false)];
        while let Some((id, negative)) = open.pop() {
            let opened = id == root || (!negative && !self.state.names.contains_key(&id));
            match &self.state.nodes[id as usize].op {
                Op::Add(a, b) if opened => open.extend([(*b, false), (*a, false)]),
                Op::Sub(a, b) if opened => open.extend([(*b, true), (*a, false)]),
                Op::Sum(terms) if opened => open.extend(terms.iter().rev().map(|&t| (t, false))),
                _ => summands.push((id, negative)),
            }
        }
        summands
    }
}

fn named(name: &str) -> (String, Bond) {
    let bond = if name.contains(' ') {
        Bond::Phrase
    } else {
        Bond::Atom
    };
    (name.into(), bond)
}

/// Writes a value in SI in its unit.
fn number(value: f64, uncertainty: f64, unit: &Unit) -> (String, Bond) {
    let shown = rounded(unit.of_si(value), uncertainty / unit.factor().abs());
    let bond = match (shown < 0.0, unit.symbol().is_empty()) {
        (true, _) => Bond::Sum,
        (false, true) => Bond::Atom,
        (false, false) => Bond::Phrase,
    };
    (format_quantity(shown, unit), bond)
}

/// Rounds to two places beyond the first significant digit of the uncertainty.
fn rounded(value: f64, uncertainty: f64) -> f64 {
    if !(uncertainty > 0.0 && uncertainty.is_finite()) {
        return value;
    }
    let place = uncertainty.log10().floor() - 2.0;
    if !(-200.0..=200.0).contains(&place) {
        return value;
    }
    // A division by a whole power of ten rounds once; multiplying by 0.001 would round twice.
    if place < 0.0 {
        let scale = 10f64.powf(-place);
        let rounded = (value * scale).round() / scale;
        if rounded.is_finite() { rounded } else { value }
    } else {
        let scale = 10f64.powf(place);
        (value / scale).round() * scale
    }
}

fn raised(digit: char) -> char {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    digit.to_digit(10).map_or('⁻', |d| DIGITS[d as usize])
}
