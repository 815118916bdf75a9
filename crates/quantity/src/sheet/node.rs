//! Nodes of the graph: what an operation is, its value and its derivative.
//!
//! In: ids of earlier nodes. Out: node values. Not here: handles and operators (`term.rs`),
//! the compiled form (`program.rs`).

use super::model::Call;
use crate::Dimension;
use std::sync::Arc;

/// One node. Its children have smaller ids, so the order of creation is a topological order.
pub(super) struct Node {
    pub(super) op: Op,
    pub(super) dimension: Dimension,
}

/// What a node does.
#[derive(Clone)]
pub(super) enum Op {
    /// Number of the input in order of creation.
    Input(u32),
    Number(f64),
    /// A constant with a unit: value in SI, number of its unit.
    Constant(f64, u32),
    Neg(u32),
    Add(u32, u32),
    Sub(u32, u32),
    Mul(u32, u32),
    Div(u32, u32),
    Sum(Arc<[u32]>),
    Power(u32, i8),
    PowerOf(u32, u32),
    Function(Function, u32),
    Min(u32, u32),
    Max(u32, u32),
    /// One result of a model, by its number.
    Result(Arc<Call>, u32),
}

impl Op {
    /// Calls `visit` for every child, in order, repeated children repeatedly.
    pub(super) fn children(&self, mut visit: impl FnMut(u32)) {
        match self {
            Self::Input(_) | Self::Number(_) | Self::Constant(..) => {}
            Self::Neg(a) | Self::Power(a, _) | Self::Function(_, a) => {
                visit(*a);
            }
            Self::Add(a, b)
            | Self::Sub(a, b)
            | Self::Mul(a, b)
            | Self::Div(a, b)
            | Self::PowerOf(a, b)
            | Self::Min(a, b)
            | Self::Max(a, b) => {
                visit(*a);
                visit(*b);
            }
            Self::Sum(terms) => terms.iter().copied().for_each(visit),
            Self::Result(call, _) => call.arguments.iter().copied().for_each(visit),
        }
    }
}

/// Functions of one variable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Function {
    Sqrt,
    Ln,
    Exp,
    Sin,
    Cos,
    Tan,
    Asin,
    Acos,
    Atan,
    Abs,
}

impl Function {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Sqrt => "√",
            Self::Ln => "ln",
            Self::Exp => "exp",
            Self::Sin => "sin",
            Self::Cos => "cos",
            Self::Tan => "tan",
            Self::Asin => "arcsin",
            Self::Acos => "arccos",
            Self::Atan => "arctan",
            Self::Abs => "abs",
        }
    }

    #[inline]
    pub(super) fn value(self, x: f64) -> f64 {
        match self {
            Self::Sqrt => x.sqrt(),
            Self::Ln => x.ln(),
            Self::Exp => x.exp(),
            Self::Sin => x.sin(),
            Self::Cos => x.cos(),
            Self::Tan => x.tan(),
            Self::Asin => x.asin(),
            Self::Acos => x.acos(),
            Self::Atan => x.atan(),
            Self::Abs => x.abs(),
        }
    }

    /// The derivative at `x`, where the function's value is `y`.
    pub(super) fn slope(self, x: f64, y: f64) -> f64 {
        match self {
            Self::Sqrt => 0.5 / y,
            Self::Ln => 1.0 / x,
            Self::Exp => y,
            Self::Sin => x.cos(),
            Self::Cos => -x.sin(),
            Self::Tan => 1.0 + y * y,
            Self::Asin => 1.0 / (1.0 - x * x).sqrt(),
            Self::Acos => -1.0 / (1.0 - x * x).sqrt(),
            Self::Atan => 1.0 / (1.0 + x * x),
            Self::Abs if x == 0.0 => 0.0,
            Self::Abs => x.signum(),
        }
    }
}
