//! Heat that comes in and goes out, as flows of a diagram that are as wide as they are in watts.

use crate::records::Budget;

/// Least gap between two flows, pixels.
pub(crate) const GAP: f64 = 5.0;

/// A flow of the diagram.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Flow {
    /// Its name.
    pub(crate) name: String,
    /// W, more than 0.
    pub(crate) power_w: f64,
    /// It is what heaters must add.
    pub(crate) heaters: bool,
}

/// What comes in and what goes out: paths of the same name together, largest first, the smallest ones as one; a loss below zero comes in.
pub(crate) fn flows(budget: &Budget) -> (Vec<Flow>, Vec<Flow>) {
    let mut ins: Vec<Flow> = Vec::new();
    let mut outs: Vec<Flow> = Vec::new();
    let signed = budget
        .losses
        .iter()
        .map(|path| (path, path.power_w))
        .chain(budget.gains.iter().map(|path| (path, -path.power_w)));
    for (path, out_w) in signed {
        let flows = if out_w > 0.0 { &mut outs } else { &mut ins };
        match flows.iter_mut().find(|flow| flow.name == path.name) {
            Some(flow) => flow.power_w += out_w.abs(),
            None => flows.push(Flow {
                name: path.name.clone(),
                power_w: out_w.abs(),
                heaters: false,
            }),
        }
    }
    let total_w: f64 = outs.iter().map(|flow| flow.power_w).sum();
    for flows in [&mut ins, &mut outs] {
        flows.retain(|flow| flow.power_w > 0.0);
        flows.sort_by(|a, b| b.power_w.total_cmp(&a.power_w));
        let small = flows.iter().filter(|flow| flow.power_w < total_w * 0.02).count();
        if small > 1 {
            let rest = flows.split_off(flows.len() - small);
            flows.push(Flow {
                name: format!("{small} smaller ways"),
                power_w: rest.iter().map(|flow| flow.power_w).sum(),
                heaters: false,
            });
        }
    }
    if budget.heat_needed_w > 0.0 {
        ins.insert(
            0,
            Flow {
                name: "heaters".to_owned(),
                power_w: budget.heat_needed_w,
                heaters: true,
            },
        );
    }
    (ins, outs)
}

/// Upper and lower edge of every flow, at its far end (with gaps) and at the water (without).
pub(crate) fn edges(flows: &[Flow], per_w: f64, top: f64, gap: f64) -> Vec<[f64; 4]> {
    let (mut far, mut near) = (top, top);
    flows
        .iter()
        .map(|flow| {
            let height = flow.power_w * per_w;
            let edges = [far, far + height, near, near + height];
            far += height + gap;
            near += height;
            edges
        })
        .collect()
}

/// Pixels of a watt, so that the larger side fits with its gaps.
pub(crate) fn per_w(ins: &[Flow], outs: &[Flow], height: f64) -> f64 {
    let of_side = |flows: &[Flow]| {
        let total_w: f64 = flows.iter().map(|flow| flow.power_w).sum();
        let gaps = GAP * flows.len().saturating_sub(1) as f64;
        (height - gaps) / total_w.max(f64::MIN_POSITIVE)
    };
    of_side(ins).min(of_side(outs))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flows_keep_their_widths_from_end_to_end() {
        let flow = |power_w| Flow {
            name: "way".to_owned(),
            power_w,
            heaters: false,
        };
        let edges = edges(&[flow(30.0), flow(10.0)], 2.0, 100.0, 5.0);
        assert_eq!(
            edges,
            [[100.0, 160.0, 100.0, 160.0], [165.0, 185.0, 160.0, 180.0]]
        );
    }
}
