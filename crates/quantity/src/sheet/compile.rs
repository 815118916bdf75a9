//! Compiling the part of the graph that results need.
//!
//! In: the sheet's nodes and the wanted results. Out: a [`Program`]. Whatever rests on no input is
//! evaluated here; whatever is linear in what came before becomes one step, and summands that are
//! used nowhere else become a group.
//! Not here: running a program (`program.rs`).

use super::State;
use super::model::Call;
use super::node::Op;
use super::program::{Program, Step};
use std::sync::Arc;

impl Program {
    /// Compiles results. With `fold_exact`, inputs without doubt become constants.
    pub(super) fn new(state: &State, results: &[u32], fold_exact: bool) -> Self {
        Compiler::new(state, results, fold_exact).run(results)
    }

    fn find_ungrouped(&self) -> Vec<u32> {
        let mut grouped = vec![false; self.inputs.len()];
        for step in &self.steps {
            if matches!(step, Step::Linear { group: true, .. }) {
                self.operands(step, |v| grouped[v as usize] = true);
            }
        }
        (0..self.inputs.len() as u32)
            .filter(|&v| !grouped[v as usize])
            .collect()
    }
}

/// What became of a node.
#[derive(Clone, Copy, PartialEq)]
enum Form {
    /// Not needed.
    Unused,
    Constant(f64),
    Variable(u32),
    /// Part of the one linear step that uses it.
    Absorbed,
    /// Needed, not yet compiled.
    Waiting,
}

struct Compiler<'a> {
    state: &'a State,
    uses: Vec<u32>,
    /// The last node seen to use a node; the only one where `uses` is 1.
    user: Vec<u32>,
    form: Vec<Form>,
    program: Program,
    /// Models compiled so far, each with the variable of its first result.
    calls: Vec<(Arc<Call>, u32)>,
}

impl<'a> Compiler<'a> {
    fn new(state: &'a State, results: &[u32], fold_exact: bool) -> Self {
        let count = results.iter().max().map_or(0, |&m| m as usize + 1);
        let mut uses = vec![0_u32; count];
        let mut user = vec![u32::MAX; count];
        for &id in results {
            uses[id as usize] += 1;
        }
        for id in (0..count).rev() {
            if uses[id] > 0 {
                state.nodes[id].op.children(|c| {
                    uses[c as usize] += 1;
                    user[c as usize] = id as u32;
                });
            }
        }
        for &id in results {
            user[id as usize] = u32::MAX;
        }
        let mut compiler = Self {
            state,
            uses,
            user,
            form: vec![Form::Unused; count],
            program: Program {
                inputs: Vec::new(),
                steps: Vec::new(),
                linear: Vec::new(),
                arguments: Vec::new(),
                outputs: Vec::new(),
                private: Vec::new(),
                ungrouped: Vec::new(),
                means: Vec::new(),
                uncertainties: Vec::new(),
                degrees: Vec::new(),
                correlations: Vec::new(),
            },
            calls: Vec::new(),
        };
        compiler.settle_inputs_and_constants(fold_exact);
        compiler.describe_inputs();
        compiler
    }

    /// Numbers the inputs needed and evaluates whatever rests on no input.
    fn settle_inputs_and_constants(&mut self, fold_exact: bool) {
        for id in 0..self.form.len() {
            if self.uses[id] == 0 {
                continue;
            }
            self.form[id] = match &self.state.nodes[id].op {
                Op::Input(k) => {
                    let k = *k as usize;
                    if fold_exact && self.state.uncertainties[k] == 0.0 {
                        Form::Constant(self.state.means[k])
                    } else {
                        self.program.inputs.push(k as u32);
                        Form::Variable(self.program.inputs.len() as u32 - 1)
                    }
                }
                op => self.constant(op).map_or(Form::Waiting, Form::Constant),
            };
        }
    }

    /// Notes what is known about the inputs needed, side by side.
    fn describe_inputs(&mut self) {
        let (state, program) = (self.state, &mut self.program);
        for (v, &k) in program.inputs.iter().enumerate() {
            let k = k as usize;
            program.means.push(state.means[k]);
            program.uncertainties.push(state.uncertainties[k]);
            if let Some(degrees) = state.inputs[k].degrees_of_freedom {
                program.degrees.push((v, degrees));
            }
        }
        for (&(a, b), pair) in state.correlations.iter().filter(|(_, p)| p.stated != 0.0) {
            let position = |input: u32| program.inputs.binary_search(&input);
            if let (Ok(a), Ok(b)) = (position(a), position(b)) {
                program.correlations.push((a, b, pair.stated));
            }
        }
    }

    /// Returns the value of an operation whose children are all constants.
    fn constant(&self, op: &Op) -> Option<f64> {
        let at = |id: &u32| match self.form[*id as usize] {
            Form::Constant(c) => Some(c),
            _ => None,
        };
        Some(match op {
            Op::Input(_) => return None,
            Op::Number(x) | Op::Constant(x, _) => *x,
            Op::Neg(a) => -at(a)?,
            Op::Add(a, b) => at(a)? + at(b)?,
            Op::Sub(a, b) => at(a)? - at(b)?,
            Op::Mul(a, b) => at(a)? * at(b)?,
            Op::Div(a, b) => at(a)? / at(b)?,
            Op::Sum(terms) => terms.iter().map(at).sum::<Option<f64>>()?,
            Op::Power(a, n) => at(a)?.powi(i32::from(*n)),
            Op::PowerOf(a, b) => at(a)?.powf(at(b)?),
            Op::Function(f, a) => f.value(at(a)?),
            Op::Min(a, b) => at(a)?.min(at(b)?),
            Op::Max(a, b) => at(a)?.max(at(b)?),
            Op::Result(call, k) => {
                let arguments: Option<Vec<f64>> = call.arguments.iter().map(at).collect();
                call.at(arguments?).results[*k as usize]
            }
        })
    }

    fn is_constant(&self, id: u32) -> bool {
        matches!(self.form[id as usize], Form::Constant(_))
    }

    /// Whether a waiting node is linear in its children.
    fn is_linear(&self, id: u32) -> bool {
        match &self.state.nodes[id as usize].op {
            Op::Neg(_) | Op::Add(..) | Op::Sub(..) | Op::Sum(_) => true,
            Op::Mul(a, b) => self.is_constant(*a) || self.is_constant(*b),
            Op::Div(_, b) => self.is_constant(*b),
            _ => false,
        }
    }

    fn run(mut self, results: &[u32]) -> Program {
        let correlated = self.state.correlated_inputs();
        self.program.private = vec![false; self.program.inputs.len()];
        for (k, &input) in self.program.inputs.iter().enumerate() {
            let id = self.state.input_nodes[input as usize] as usize;
            let free = !correlated.get(input as usize).copied().unwrap_or(false);
            let user = self.user[id];
            self.program.private[k] =
                free && self.uses[id] == 1 && user != u32::MAX && self.is_linear(user);
        }
        for id in 0..self.form.len() as u32 {
            if self.form[id as usize] != Form::Waiting {
                continue;
            }
            let user = self.user[id as usize];
            let state = self.state;
            self.form[id as usize] = if let Op::Result(call, k) = &state.nodes[id as usize].op {
                Form::Variable(self.result(call, *k))
            } else if !self.is_linear(id) {
                let step = self.nonlinear(id);
                Form::Variable(self.emit(step))
            } else if self.uses[id as usize] == 1 && user != u32::MAX && self.is_linear(user) {
                Form::Absorbed
            } else {
                Form::Variable(self.linear(id))
            };
        }
        for &id in results {
            let variable = self.variable(id);
            self.program.outputs.push(variable);
        }
        self.program.ungrouped = self.program.find_ungrouped();
        self.program
    }

    fn emit(&mut self, step: Step) -> u32 {
        self.program.steps.push(step);
        (self.program.inputs.len() + self.program.steps.len() - 1) as u32
    }

    /// Returns the variable of a compiled node; a constant becomes a step without summands.
    fn variable(&mut self, id: u32) -> u32 {
        match self.form[id as usize] {
            Form::Variable(v) => v,
            Form::Constant(constant) => {
                let at = self.program.linear.len() as u32;
                self.emit(Step::Linear {
                    from: at,
                    to: at,
                    constant,
                    group: false,
                })
            }
            // Children come before their parents, and absorbed nodes have only linear parents.
            Form::Unused | Form::Absorbed | Form::Waiting => 0,
        }
    }

    /// Returns the variable of a model's result; the model is compiled once for all of them.
    fn result(&mut self, call: &Arc<Call>, k: u32) -> u32 {
        if let Some((_, first)) = self.calls.iter().find(|(c, _)| Arc::ptr_eq(c, call)) {
            return first + k;
        }
        let arguments: Vec<u32> = call.arguments.iter().map(|&a| self.variable(a)).collect();
        let from = self.program.arguments.len() as u32;
        self.program.arguments.extend(arguments);
        let first = self.emit(Step::Call {
            from,
            to: self.program.arguments.len() as u32,
            call: Arc::clone(call),
        });
        for _ in 1..call.results.len() {
            self.emit(Step::Further);
        }
        self.calls.push((Arc::clone(call), first));
        first + k
    }

    fn nonlinear(&mut self, id: u32) -> Step {
        match self.state.nodes[id as usize].op.clone() {
            Op::Mul(a, b) => Step::Mul(self.variable(a), self.variable(b)),
            Op::Div(a, b) => Step::Div(self.variable(a), self.variable(b)),
            Op::Power(a, n) => Step::Power(self.variable(a), n),
            Op::PowerOf(a, b) => Step::PowerOf(self.variable(a), self.variable(b)),
            Op::Function(f, a) => Step::Function(f, self.variable(a)),
            Op::Min(a, b) => Step::Min(self.variable(a), self.variable(b)),
            Op::Max(a, b) => Step::Max(self.variable(a), self.variable(b)),
            Op::Input(_)
            | Op::Result(..)
            | Op::Number(_)
            | Op::Constant(..)
            | Op::Neg(_)
            | Op::Add(..)
            | Op::Sub(..)
            | Op::Sum(_) => Step::Linear {
                from: 0,
                to: 0,
                constant: f64::NAN,
                group: false,
            },
        }
    }

    /// Compiles a linear node with everything it absorbed; private inputs come as a step of their
    /// own where there are several beside other summands.
    fn linear(&mut self, root: u32) -> u32 {
        let (summands, constant) = self.gather(root);
        if let [(v, 1.0)] = summands.as_slice()
            && constant == 0.0
        {
            return *v;
        }
        let private = |v: u32| {
            self.program
                .private
                .get(v as usize)
                .copied()
                .unwrap_or(false)
        };
        let privates = summands.iter().filter(|(v, _)| private(*v)).count();
        if privates == summands.len() || privates < 2 {
            return self.emit_linear(&summands, constant, privates == summands.len());
        }
        let (group, mut rest): (Vec<_>, Vec<_>) =
            summands.into_iter().partition(|(v, _)| private(*v));
        let group = self.emit_linear(&group, 0.0, true);
        rest.insert(0, (group, 1.0));
        self.emit_linear(&rest, constant, false)
    }

    fn emit_linear(&mut self, summands: &[(u32, f64)], constant: f64, group: bool) -> u32 {
        let from = self.program.linear.len() as u32;
        self.program.linear.extend_from_slice(summands);
        let to = self.program.linear.len() as u32;
        self.emit(Step::Linear {
            from,
            to,
            constant,
            group,
        })
    }

    /// Collects a linear node's summands in the order of writing.
    fn gather(&self, root: u32) -> (Vec<(u32, f64)>, f64) {
        let mut summands = Vec::new();
        let mut constant = 0.0;
        let mut open = vec![(root, 1.0)];
        while let Some((id, c)) = open.pop() {
            match self.form[id as usize] {
                Form::Constant(x) => {
                    constant += c * x;
                    continue;
                }
                Form::Variable(v) => {
                    summands.push((v, c));
                    continue;
                }
                Form::Unused | Form::Absorbed | Form::Waiting => {}
            }
            let number = |id: u32| match self.form[id as usize] {
                Form::Constant(x) => x,
                _ => 1.0,
            };
            match &self.state.nodes[id as usize].op {
                Op::Neg(a) => open.push((*a, -c)),
                Op::Add(a, b) => open.extend([(*b, c), (*a, c)]),
                Op::Sub(a, b) => open.extend([(*b, -c), (*a, c)]),
                Op::Sum(terms) => open.extend(terms.iter().rev().map(|&t| (t, c))),
                Op::Mul(a, b) if self.is_constant(*a) => open.push((*b, c * number(*a))),
                Op::Mul(a, b) => open.push((*a, c * number(*b))),
                Op::Div(a, b) => open.push((*a, c / number(*b))),
                _ => {}
            }
        }
        (summands, constant)
    }
}
