//! The joints of a bike as a graph: parts in their slots are nodes, and so are joints; an edge says
//! which end of the joint a part plays.

use petgraph::graph::{NodeIndex, UnGraph};

use super::Bike;
use crate::catalog::Catalog;
use crate::joints::FAMILIES;

/// A joint of a family's page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointAt {
    /// The number of the family.
    pub family: usize,
    /// Which of its joints.
    pub joint: usize,
}

#[derive(Clone, Copy, Debug)]
enum Node {
    Slot(usize),
    Joint(usize),
}

/// The joints that stand on a bike.
#[derive(Debug)]
pub struct Graph {
    graph: UnGraph<Node, usize>,
    slots: Vec<NodeIndex>,
    joints: Vec<JointAt>,
}

impl Graph {
    /// The joints that stand: every end that must be there has its part.
    pub fn of(catalog: &Catalog, bike: &Bike) -> Graph {
        let mut graph = UnGraph::default();
        let slots: Vec<NodeIndex> = (0..bike.parts.len())
            .map(|slot| graph.add_node(Node::Slot(slot)))
            .collect();
        let mut joints = Vec::new();
        for (family, definition) in FAMILIES.iter().enumerate() {
            for (index, joint) in catalog.joints(family).iter().enumerate() {
                if !joint.stands(definition, |slot| bike.part(slot).is_some()) {
                    continue;
                }
                let node = graph.add_node(Node::Joint(joints.len()));
                joints.push(JointAt {
                    family,
                    joint: index,
                });
                for (number, end) in joint.ends.iter().enumerate() {
                    let slot = end.as_ref().filter(|end| bike.part(end.slot).is_some());
                    if let Some(slot) = slot.and_then(|end| slots.get(end.slot)) {
                        graph.add_edge(*slot, node, number);
                    }
                }
            }
        }
        Graph {
            graph,
            slots,
            joints,
        }
    }

    /// Every joint that stands, in the order of the families.
    pub fn joints(&self) -> &[JointAt] {
        &self.joints
    }

    /// The joints a slot takes part in, in the order of the families.
    pub fn joints_of(&self, slot: usize) -> Vec<JointAt> {
        let Some(node) = self.slots.get(slot) else {
            return Vec::new();
        };
        let mut joints: Vec<JointAt> = self
            .graph
            .neighbors(*node)
            .filter_map(|neighbour| match self.graph.node_weight(neighbour) {
                Some(Node::Joint(joint)) => self.joints.get(*joint).copied(),
                _ => None,
            })
            .collect();
        joints.sort_unstable();
        joints.dedup();
        joints
    }

    /// The slots that are joined to a slot, through whatever joint.
    pub fn mates(&self, slot: usize) -> Vec<usize> {
        let Some(node) = self.slots.get(slot) else {
            return Vec::new();
        };
        let joints = self.graph.neighbors(*node);
        let mut mates: Vec<usize> = joints
            .flat_map(|joint| self.graph.neighbors(joint))
            .filter_map(|mate| match self.graph.node_weight(mate) {
                Some(Node::Slot(mate)) if *mate != slot => Some(*mate),
                _ => None,
            })
            .collect();
        mates.sort_unstable();
        mates.dedup();
        mates
    }
}
