//! Which port each leader goes to: the matching of least total length.
//!
//! In: the length of every possible leader, one row for each anchor, one column for each port. Out:
//! one port for each anchor. Not here: where the ports are.
//!
//! Method: shortest augmenting paths with potentials (H. W. Kuhn, Nav. Res. Logist. Q. 2 (1955)
//! 83–97; R. Jonker, A. Volgenant, Computing 38 (1987) 325–340), for n rows and m columns in
//! O(n² m) steps and O(n m) memory.

/// Returns the column of each row so that the sum of `cost` is least; `None` if there are fewer
/// columns than rows or the rows differ in length.
pub(super) fn assign(cost: &[Vec<f64>]) -> Option<Vec<usize>> {
    let columns = cost.first().map_or(0, Vec::len);
    if columns < cost.len() || cost.iter().any(|row| row.len() != columns) {
        return None;
    }
    // Rows and columns count from 1; column 0 holds the row that is being placed.
    let mut of_row = vec![0.0; cost.len() + 1];
    let mut of_column = vec![0.0; columns + 1];
    let mut holder = vec![0; columns + 1];
    let mut came_from = vec![0; columns + 1];
    for row in 1..=cost.len() {
        holder[0] = row;
        let mut here = 0;
        let mut least = vec![f64::INFINITY; columns + 1];
        let mut done = vec![false; columns + 1];
        while holder[here] != 0 {
            done[here] = true;
            let at = holder[here];
            let (mut step, mut next) = (f64::INFINITY, 0);
            for c in 1..=columns {
                if done[c] {
                    continue;
                }
                let reduced = cost[at - 1][c - 1] - of_row[at] - of_column[c];
                if reduced < least[c] {
                    least[c] = reduced;
                    came_from[c] = here;
                }
                if least[c] < step || next == 0 {
                    step = least[c];
                    next = c;
                }
            }
            for c in 0..=columns {
                if done[c] {
                    of_row[holder[c]] += step;
                    of_column[c] -= step;
                } else {
                    least[c] -= step;
                }
            }
            here = next;
        }
        // Every row on the path moves one column on.
        while here != 0 {
            let before = came_from[here];
            holder[here] = holder[before];
            here = before;
        }
    }
    let mut chosen = vec![0; cost.len()];
    for (column, &row) in holder.iter().enumerate().skip(1) {
        if row != 0 {
            chosen[row - 1] = column - 1;
        }
    }
    Some(chosen)
}
