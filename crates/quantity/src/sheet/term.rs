//! Handles on nodes: operators, functions, names.
//!
//! In: terms and plain numbers. Out: new nodes whose dimension has been checked.
//! Not here: values.

use super::node::{Function, Op};
use super::{Sheet, SheetError, State};
use crate::{Dimension, Unit};
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A handle on one node. Copy; has `+ - * /`, negation, operations with `f64` scalars
/// (`2.0 * t`, `t * 2.0`, `t / 2.0`, and `1.0 + t`, `1.0 - t` for plain numbers), and functions.
/// A level with a reference adds to plain decibels only, see [`Dimension::plus`].
#[derive(Clone, Copy)]
pub struct Term<'s> {
    pub(super) sheet: &'s Sheet,
    pub(super) id: u32,
}

impl fmt::Debug for Term<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Term").field(&self.id).finish()
    }
}

impl<'s> Term<'s> {
    /// Names the term and the unit it is shown in; a named term gets its own line of working.
    #[must_use]
    pub fn named(self, name: &str, unit: &Unit) -> Term<'s> {
        let state = &mut *self.sheet.state.borrow_mut();
        let dimension = state.dimension(self.id);
        if dimension != unit.dimension() {
            state.fail(SheetError::Value(format!(
                "cannot show {name} ({dimension}) in {unit} ({})",
                unit.dimension()
            )));
        }
        state.names.insert(self.id, (name.into(), unit.clone()));
        self
    }

    /// Returns the dimension.
    pub fn dimension(self) -> Dimension {
        self.sheet.state.borrow().dimension(self.id)
    }

    /// Square root; every exponent of the dimension must be even.
    #[must_use]
    pub fn sqrt(self) -> Term<'s> {
        self.node(|state| {
            let dimension = state.dimension(self.id);
            let root = dimension.root(2).unwrap_or_else(|| {
                state.fail(SheetError::Value(format!(
                    "cannot take the square root of {dimension}"
                )));
                Dimension::NONE
            });
            (Op::Function(Function::Sqrt, self.id), root)
        })
    }

    /// Integer power.
    #[must_use]
    pub fn powi(self, n: i8) -> Term<'s> {
        self.node(|state| (Op::Power(self.id, n), state.dimension(self.id).powi(n)))
    }

    /// Power of two plain numbers.
    #[must_use]
    pub fn powf(self, exponent: Term<'s>) -> Term<'s> {
        self.joined(exponent, |state, a, b| {
            plain(state, "power", a);
            plain(state, "exponent", b);
            (Op::PowerOf(a, b), Dimension::NONE)
        })
    }

    /// Smaller of two. At a tie the derivative is that of `self`; a figure is then sampled.
    #[must_use]
    pub fn min(self, other: Term<'s>) -> Term<'s> {
        self.joined(other, |state, a, b| {
            (Op::Min(a, b), alike(state, "compare", a, b))
        })
    }

    /// Greater of two. At a tie the derivative is that of `self`; a figure is then sampled.
    #[must_use]
    pub fn max(self, other: Term<'s>) -> Term<'s> {
        self.joined(other, |state, a, b| {
            (Op::Max(a, b), alike(state, "compare", a, b))
        })
    }

    /// Absolute value.
    #[must_use]
    pub fn abs(self) -> Term<'s> {
        self.node(|state| {
            (
                Op::Function(Function::Abs, self.id),
                state.dimension(self.id),
            )
        })
    }

    /// Natural logarithm of a plain number.
    #[must_use]
    pub fn ln(self) -> Term<'s> {
        self.function(Function::Ln)
    }

    /// Exponential of a plain number.
    #[must_use]
    pub fn exp(self) -> Term<'s> {
        self.function(Function::Exp)
    }

    /// Sine of a plain number (radian).
    #[must_use]
    pub fn sin(self) -> Term<'s> {
        self.function(Function::Sin)
    }

    /// Cosine of a plain number (radian).
    #[must_use]
    pub fn cos(self) -> Term<'s> {
        self.function(Function::Cos)
    }

    /// Tangent of a plain number (radian).
    #[must_use]
    pub fn tan(self) -> Term<'s> {
        self.function(Function::Tan)
    }

    /// Arcsine of a plain number, in radian.
    #[must_use]
    pub fn asin(self) -> Term<'s> {
        self.function(Function::Asin)
    }

    /// Arccosine of a plain number, in radian.
    #[must_use]
    pub fn acos(self) -> Term<'s> {
        self.function(Function::Acos)
    }

    /// Arctangent of a plain number, in radian.
    #[must_use]
    pub fn atan(self) -> Term<'s> {
        self.function(Function::Atan)
    }

    fn function(self, function: Function) -> Term<'s> {
        self.node(|state| {
            plain(state, function.name(), self.id);
            (Op::Function(function, self.id), Dimension::NONE)
        })
    }

    fn node(self, make: impl FnOnce(&mut State) -> (Op, Dimension)) -> Term<'s> {
        let state = &mut *self.sheet.state.borrow_mut();
        let (op, dimension) = make(state);
        Term {
            sheet: self.sheet,
            id: state.push(op, dimension),
        }
    }

    fn joined(
        self,
        other: Term<'s>,
        make: impl FnOnce(&mut State, u32, u32) -> (Op, Dimension),
    ) -> Term<'s> {
        if std::ptr::eq(self.sheet, other.sheet) {
            return self.node(|state| make(state, self.id, other.id));
        }
        // Both sheets keep the error, for either may be the one that is evaluated.
        let error = SheetError::Value("terms of two sheets cannot be combined".into());
        other.sheet.state.borrow_mut().fail(error.clone());
        self.sheet.state.borrow_mut().fail(error);
        self
    }

    fn with_number(
        self,
        value: f64,
        make: impl FnOnce(&mut State, u32) -> (Op, Dimension),
    ) -> Self {
        self.node(|state| {
            let number = state.push(Op::Number(value), Dimension::NONE);
            make(state, number)
        })
    }
}

/// Keeps an error unless both terms have the same dimension, which it returns.
fn alike(state: &mut State, operation: &'static str, a: u32, b: u32) -> Dimension {
    let (left, right) = (state.dimension(a), state.dimension(b));
    if left != right {
        state.fail(SheetError::Dimension {
            operation,
            left,
            right,
        });
    }
    left
}

/// Returns the dimension of a difference, or keeps an error where there is none.
fn difference(state: &mut State, a: u32, b: u32) -> Dimension {
    let (left, right) = (state.dimension(a), state.dimension(b));
    left.minus(right).unwrap_or_else(|| {
        state.fail(SheetError::Dimension {
            operation: "subtract",
            left,
            right,
        });
        left
    })
}

/// Keeps an error unless the term is a plain number.
fn plain(state: &mut State, what: &str, a: u32) {
    let dimension = state.dimension(a);
    if !dimension.is_none() {
        state.fail(SheetError::Value(format!(
            "{what} needs a plain number, found {dimension}"
        )));
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident, $op:ident, |$state:ident, $a:ident, $b:ident| $dimension:expr) => {
        impl<'s> $trait for Term<'s> {
            type Output = Term<'s>;
            fn $method(self, other: Term<'s>) -> Term<'s> {
                self.joined(other, |$state, $a, $b| (Op::$op($a, $b), $dimension))
            }
        }

        impl<'s> $trait<f64> for Term<'s> {
            type Output = Term<'s>;
            fn $method(self, other: f64) -> Term<'s> {
                let $a = self.id;
                self.with_number(other, |$state, $b| (Op::$op($a, $b), $dimension))
            }
        }

        impl<'s> $trait<Term<'s>> for f64 {
            type Output = Term<'s>;
            fn $method(self, other: Term<'s>) -> Term<'s> {
                let $b = other.id;
                other.with_number(self, |$state, $a| (Op::$op($a, $b), $dimension))
            }
        }
    };
}

operator!(Add, add, Add, |state, a, b| {
    state.sum_dimension(state.dimension(a), state.dimension(b))
});
operator!(Sub, sub, Sub, |state, a, b| difference(state, a, b));
operator!(Mul, mul, Mul, |state, a, b| state.dimension(a)
    * state.dimension(b));
operator!(Div, div, Div, |state, a, b| state.dimension(a)
    / state.dimension(b));

impl<'s> Neg for Term<'s> {
    type Output = Term<'s>;
    fn neg(self) -> Term<'s> {
        self.node(|state| (Op::Neg(self.id), state.dimension(self.id)))
    }
}
