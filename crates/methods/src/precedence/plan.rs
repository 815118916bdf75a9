//! Least-effort order of acts under "needs this, or that and that" conditions.
//!
//! In: acts with time, tool and alternatives of what must be done first; the cost of changing tools.
//! Out: the cheapest order to one act.
//! Not here: where the acts come from (`precedence`).
//!
//! Dijkstra's search on states (set of acts done, tool in hand); only acts that can matter to the target
//! are looked at. The number of states can grow with 2ⁿ, so the search gives up at a bound and says so.
//! Method: E. W. Dijkstra, Numer. Math. 1 (1959) 269–271, on the AND/OR precedence graphs of
//! L. S. Homem de Mello and A. C. Sanderson, IEEE Trans. Robot. Autom. 6 (1990) 188–199.

use super::search::Search;
use std::collections::{BTreeSet, HashMap};

/// Most states a search looks at.
pub const STATE_BOUND: usize = 100_000;

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// The tool it is done with.
    pub tool: String,
    /// Time it takes, s.
    pub time_s: f64,
    /// What must be done first: any one of these sets, all of it; nothing if empty.
    pub needs: Vec<Vec<usize>>,
}

/// Acts and the cost of changing tools.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The acts.
    pub acts: Vec<Act>,
    /// Cost of a change of tool, s.
    pub tool_change_s: f64,
    /// The tool in hand at the start.
    pub start_tool: String,
}

/// An order of acts.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Acts in order.
    pub acts: Vec<usize>,
    /// Time with tool changes, s.
    pub time_s: f64,
    /// Changes of tool, the one at the start included.
    pub tool_changes: usize,
}

impl Problem {
    /// Returns the cheapest order that ends with `target`, with the numbers that [`Problem::tools`] gives;
    /// `None` if it cannot be reached or the search would pass [`STATE_BOUND`].
    pub fn least_to(&self, target: usize, tools: &[usize]) -> Option<Plan> {
        let relevant = self.relevant(target);
        Search::new(self, tools, &relevant).least(target)
    }

    /// Acts that some alternative on the way to `target` mentions.
    pub(super) fn relevant(&self, target: usize) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut stack = vec![target];
        while let Some(act) = stack.pop() {
            if act < self.acts.len() && found.insert(act) {
                stack.extend(self.acts[act].needs.iter().flatten());
            }
        }
        found
    }

    /// Returns the tool of each act by number; the start tool is 0.
    pub fn tools(&self) -> Vec<usize> {
        let mut numbers: HashMap<&str, usize> = HashMap::from([(self.start_tool.as_str(), 0)]);
        let mut tools = Vec::with_capacity(self.acts.len());
        for act in &self.acts {
            let next = numbers.len();
            tools.push(*numbers.entry(act.tool.as_str()).or_insert(next));
        }
        tools
    }
}
