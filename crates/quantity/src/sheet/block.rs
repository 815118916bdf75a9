//! Runs a compiled program on a block of draws at a time.
//!
//! In: a program, samplers, a seed. Out: blocks of results. Inputs are drawn just before their
//! first use and their memory is used again after the last, so that a block stays in the
//! processor's cache whatever the size of the formula. Summands used nowhere else are drawn
//! straight into the sum. Not here: what is done with the results.
//!
//! Correlated inputs are drawn by a Gaussian copula whose scores are correlated so that the inputs
//! have the stated coefficient (`nataf.rs`).

use super::model::Call;
use super::program::{Program, Step};
use super::random::Stream;
use super::sampler::Sampler;
use super::{SheetError, State};
use crate::Distribution;
use crate::special::{normal_probability, normal_quantile};
use pulp::Arch;

/// Draws in a block.
pub(super) const BLOCK: usize = 1024;

/// One column of draws.
pub(super) type Column = Box<[f64; BLOCK]>;

/// A program prepared for drawing; shared between threads.
pub(super) struct Plan<'a> {
    program: &'a Program,
    actions: Vec<Action>,
    /// The slot of each variable; `NONE` for summands that are drawn into their sum.
    slots: Vec<u32>,
    slot_count: usize,
    samplers: Vec<Sampler>,
    copula: Option<Copula>,
}

enum Action {
    /// Draw an input into its slot.
    Draw(u32),
    /// Run a step.
    Run(u32),
}

/// Correlated inputs: variables of the program, distributions, triangular factor.
struct Copula {
    members: Vec<u32>,
    distributions: Vec<Distribution>,
    factor: Vec<Vec<f64>>,
}

const NONE: u32 = u32::MAX;

impl<'a> Plan<'a> {
    /// Prepares a program.
    ///
    /// # Errors
    /// Where the stated correlations contradict each other.
    pub(super) fn new(program: &'a Program, state: &State) -> Result<Self, SheetError> {
        let distribution = |k: &u32| state.inputs[*k as usize].sampling_distribution();
        let samplers = program
            .inputs
            .iter()
            .map(|k| Sampler::new(&distribution(k)))
            .collect();
        let (members, factor) = state.score_factor(&program.inputs)?;
        let copula = (!members.is_empty()).then(|| Copula {
            distributions: members.iter().map(&distribution).collect(),
            members: members
                .iter()
                .filter_map(|k| program.inputs.binary_search(k).ok())
                .map(|v| v as u32)
                .collect(),
            factor,
        });
        let mut plan = Self {
            program,
            actions: Vec::new(),
            slots: vec![NONE; program.inputs.len() + program.steps.len()],
            slot_count: 0,
            samplers,
            copula,
        };
        plan.schedule();
        Ok(plan)
    }

    /// Orders draws and steps, and assigns slots by the last use of each variable.
    fn schedule(&mut self) {
        let program = self.program;
        let first = program.inputs.len();
        let mut last_use = vec![0_usize; self.slots.len()];
        for (k, step) in program.steps.iter().enumerate() {
            program.operands(step, |v| last_use[v as usize] = k);
        }
        for &v in &program.outputs {
            last_use[v as usize] = usize::MAX;
        }
        let mut free = Vec::new();
        let mut take = |free: &mut Vec<u32>| {
            free.pop().unwrap_or_else(|| {
                self.slot_count += 1;
                self.slot_count as u32 - 1
            })
        };
        // Correlated inputs are all drawn at the start.
        for &v in self.copula.iter().flat_map(|c| &c.members) {
            self.slots[v as usize] = take(&mut free);
        }
        for (k, step) in program.steps.iter().enumerate() {
            let summing = matches!(step, Step::Linear { .. });
            program.operands(step, |v| {
                let at = v as usize;
                if at < first && self.slots[at] == NONE && !(summing && program.private[at]) {
                    self.slots[at] = take(&mut free);
                    self.actions.push(Action::Draw(v));
                }
            });
            if matches!(step, Step::Further) {
                continue;
            }
            let results = match step {
                Step::Call { call, .. } => call.results.len(),
                _ => 1,
            };
            for own in first + k..first + k + results {
                self.slots[own] = take(&mut free);
            }
            self.actions.push(Action::Run(k as u32));
            program.operands(step, |v| {
                let at = v as usize;
                if last_use[at] == k && self.slots[at] != NONE && !free.contains(&self.slots[at]) {
                    free.push(self.slots[at]);
                }
            });
        }
        // A result may be an input as it stands.
        for &v in &program.outputs {
            if self.slots[v as usize] == NONE {
                self.slots[v as usize] = take(&mut free);
                self.actions.push(Action::Draw(v));
            }
        }
    }

    /// Makes the memory one thread works in.
    pub(super) fn machine(&self) -> Machine<'_> {
        Machine {
            plan: self,
            arch: Arch::new(),
            slots: (0..self.slot_count).map(|_| column()).collect(),
            streams: Vec::new(),
            normals: Vec::new(),
            spare: column(),
        }
    }
}

/// Makes an empty column.
pub(super) fn column() -> Column {
    Box::new([0.0; BLOCK])
}

/// One thread's memory for a plan.
pub(super) struct Machine<'a> {
    plan: &'a Plan<'a>,
    arch: Arch,
    slots: Vec<Column>,
    streams: Vec<Stream>,
    normals: Vec<Column>,
    /// Where a step writes before it changes places with its slot: a step reads slots while it runs.
    spare: Column,
}

impl Machine<'_> {
    /// Starts a part of a run: every input gets a fresh stream.
    pub(super) fn start(&mut self, seed: u64, part: u64) {
        let inputs = &self.plan.program.inputs;
        self.streams = inputs
            .iter()
            .map(|&k| Stream::new(seed, u64::from(k), part))
            .collect();
    }

    /// Draws the next block and returns the first result's column.
    pub(super) fn next(&mut self) -> &[f64; BLOCK] {
        let plan = self.plan;
        self.draw_correlated();
        for action in &plan.actions {
            match *action {
                Action::Draw(v) => {
                    let slot = plan.slots[v as usize] as usize;
                    let stream = &mut self.streams[v as usize];
                    plan.samplers[v as usize].fill(self.arch, stream, &mut self.slots[slot]);
                }
                Action::Run(k) => self.run(k as usize),
            }
        }
        &self.slots[plan.slots[plan.program.outputs[0] as usize] as usize]
    }

    /// Draws every input into columns of their own, in the order of the program's inputs.
    pub(super) fn draw_inputs(&mut self, columns: &mut [Column]) {
        for ((column, sampler), stream) in columns
            .iter_mut()
            .zip(&self.plan.samplers)
            .zip(&mut self.streams)
        {
            sampler.fill(self.arch, stream, column);
        }
    }

    fn draw_correlated(&mut self) {
        let Some(copula) = &self.plan.copula else {
            return;
        };
        self.normals.resize_with(copula.members.len(), column);
        for (normals, &v) in self.normals.iter_mut().zip(&copula.members) {
            let stream = &mut self.streams[v as usize];
            normals
                .iter_mut()
                .for_each(|z| *z = normal_quantile(stream.unit()));
        }
        for (i, &v) in copula.members.iter().enumerate() {
            let slot = &mut self.slots[self.plan.slots[v as usize] as usize];
            slot.fill(0.0);
            for (normals, weight) in self.normals.iter().zip(&copula.factor[i]) {
                slot.iter_mut()
                    .zip(normals.iter())
                    .for_each(|(x, z)| *x += weight * z);
            }
            let distribution = &copula.distributions[i];
            match *distribution {
                Distribution::Normal { mean, sd } => {
                    slot.iter_mut().for_each(|x| *x = mean + sd * *x);
                }
                _ => slot
                    .iter_mut()
                    .for_each(|x| *x = distribution.quantile(normal_probability(*x))),
            }
        }
    }

    fn run(&mut self, k: usize) {
        let Self {
            plan,
            arch,
            slots,
            streams,
            spare,
            ..
        } = self;
        let program = plan.program;
        let own = program.inputs.len() + k;
        if let Step::Call { from, to, call } = &program.steps[k] {
            let ids = &program.arguments[*from as usize..*to as usize];
            let slot = |v: usize| plan.slots[v] as usize;
            let read = |slots: &Vec<Column>, v: u32, i: usize| slots[slot(v as usize)][i];
            let write = |slots: &mut Vec<Column>, r: usize, i: usize, y: f64| {
                slots[slot(own + r)][i] = y;
            };
            return run_call(call, ids, slots, read, write);
        }
        let column_of = |v: u32| &*slots[plan.slots[v as usize] as usize];
        if let Step::Linear {
            from, to, constant, ..
        } = &program.steps[k]
        {
            let summands = &program.linear[*from as usize..*to as usize];
            let drawn_here = |v: u32| plan.slots[v as usize] == NONE;
            let constant = summands
                .iter()
                .filter(|(v, _)| drawn_here(*v))
                .fold(*constant, |sum, &(v, c)| {
                    sum + plan.samplers[v as usize].offset(c)
                });
            spare.fill(constant);
            for &(v, c) in summands {
                if drawn_here(v) {
                    let stream = &mut streams[v as usize];
                    plan.samplers[v as usize].accumulate(*arch, stream, c, spare);
                } else {
                    spare
                        .iter_mut()
                        .zip(column_of(v))
                        .for_each(|(s, x)| *s += c * x);
                }
            }
        } else {
            run_step(program, &program.steps[k], column_of, spare);
        }
        let out = plan.slots[own] as usize;
        std::mem::swap(spare, &mut slots[out]);
    }
}

/// Runs a model on every draw of a block: `read` gives a variable's draw, `write` takes a result's.
pub(super) fn run_call<M>(
    call: &Call,
    arguments: &[u32],
    memory: &mut M,
    read: impl Fn(&M, u32, usize) -> f64,
    write: impl Fn(&mut M, usize, usize, f64),
) {
    let mut x = vec![0.0; arguments.len()];
    let mut y = vec![f64::NAN; call.results.len()];
    for i in 0..BLOCK {
        for (x, &v) in x.iter_mut().zip(arguments) {
            *x = read(memory, v, i);
        }
        call.model.run(&x, &mut y);
        for (r, y) in y.iter().enumerate() {
            write(memory, r, i, *y);
        }
    }
}

/// Runs one step that is no model on columns of draws.
pub(super) fn run_step<'c>(
    program: &Program,
    step: &Step,
    column_of: impl Fn(u32) -> &'c [f64; BLOCK],
    out: &mut [f64; BLOCK],
) {
    let one = |out: &mut [f64; BLOCK], a: u32, f: &dyn Fn(f64) -> f64| {
        out.iter_mut()
            .zip(column_of(a))
            .for_each(|(y, &x)| *y = f(x));
    };
    match step {
        Step::Linear {
            from, to, constant, ..
        } => {
            out.fill(*constant);
            for &(v, c) in &program.linear[*from as usize..*to as usize] {
                out.iter_mut()
                    .zip(column_of(v))
                    .for_each(|(s, x)| *s += c * x);
            }
        }
        Step::Mul(a, b) => two(out, column_of(*a), column_of(*b), |x, y| x * y),
        Step::Div(a, b) => two(out, column_of(*a), column_of(*b), |x, y| x / y),
        Step::PowerOf(a, b) => two(out, column_of(*a), column_of(*b), f64::powf),
        Step::Min(a, b) => two(
            out,
            column_of(*a),
            column_of(*b),
            |x, y| if y < x { y } else { x },
        ),
        Step::Max(a, b) => two(
            out,
            column_of(*a),
            column_of(*b),
            |x, y| if y > x { y } else { x },
        ),
        Step::Power(a, n) => one(out, *a, &|x| x.powi(i32::from(*n))),
        Step::Function(f, a) => one(out, *a, &|x| f.value(x)),
        Step::Call { .. } | Step::Further => {}
    }
}

#[inline]
fn two(out: &mut [f64; BLOCK], a: &[f64; BLOCK], b: &[f64; BLOCK], f: impl Fn(f64, f64) -> f64) {
    for i in 0..BLOCK {
        out[i] = f(a[i], b[i]);
    }
}

/// Evaluates the program's result on columns of inputs.
pub(super) fn evaluate<'c>(
    program: &Program,
    input: impl Fn(usize) -> &'c Column,
    work: &mut [Column],
    out: &mut Column,
) {
    let count = program.inputs.len();
    for k in 0..program.steps.len() {
        if let Step::Call { from, to, call } = &program.steps[k] {
            let ids = &program.arguments[*from as usize..*to as usize];
            let read =
                |work: &&mut [Column], v: u32, i: usize| match (v as usize).checked_sub(count) {
                    None => input(v as usize)[i],
                    Some(step) => work[step][i],
                };
            let write = |work: &mut &mut [Column], r: usize, i: usize, y: f64| work[k + r][i] = y;
            run_call(call, ids, &mut &mut *work, read, write);
            continue;
        }
        if matches!(program.steps[k], Step::Further) {
            continue;
        }
        let (done, rest) = work.split_at_mut(k);
        let Some(target) = rest.first_mut() else {
            break;
        };
        let column_of = |v: u32| -> &[f64; BLOCK] {
            let v = v as usize;
            if v < count {
                input(v)
            } else {
                &done[v - count]
            }
        };
        run_step(program, &program.steps[k], column_of, target);
    }
    let result = program.outputs[0] as usize;
    let from: &[f64; BLOCK] = if result < count {
        input(result)
    } else {
        &work[result - count]
    };
    out.copy_from_slice(from);
}
