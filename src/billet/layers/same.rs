//! Comparing and dropping without recursion: shared subtrees are looked at once.

use std::collections::HashSet;
use std::sync::Arc;

use super::{Layers, Node, Shape, SteelId, Summary};

impl PartialEq for Layers {
    /// The same tree: two trees that spell the same sequence in another way are not equal.
    fn eq(&self, other: &Self) -> bool {
        let mut seen = HashSet::new();
        let mut todo = vec![(self, other)];
        while let Some((one, two)) = todo.pop() {
            let pair = (Arc::as_ptr(&one.0), Arc::as_ptr(&two.0));
            if std::ptr::eq(pair.0, pair.1) || !seen.insert(pair) {
                continue;
            }
            let like = match (&one.0.shape, &two.0.shape) {
                (Shape::Leaf, Shape::Leaf) => layer(&one.0.sum) == layer(&two.0.sum),
                (Shape::Cat(a), Shape::Cat(b)) => {
                    todo.extend(a.parts.iter().zip(b.parts.iter()));
                    a.parts.len() == b.parts.len()
                }
                (Shape::Rep(a, times), Shape::Rep(b, others)) => {
                    todo.push((a, b));
                    times == others
                }
                (Shape::Mir(a), Shape::Mir(b)) => {
                    todo.push((a, b));
                    true
                }
                (Shape::Scale(a, factor), Shape::Scale(b, other)) => {
                    todo.push((a, b));
                    factor.to_bits() == other.to_bits()
                }
                _ => false,
            };
            if !like {
                return false;
            }
        }
        true
    }
}

fn layer(sum: &Summary) -> (SteelId, u64) {
    (sum.first.0, sum.first.1.to_bits())
}

impl Drop for Node {
    fn drop(&mut self) {
        let mut todo = Vec::new();
        take_apart(&mut self.shape, &mut todo);
        while let Some(next) = todo.pop() {
            if let Some(mut node) = Arc::into_inner(next.0) {
                take_apart(&mut node.shape, &mut todo);
            }
        }
    }
}

/// Moves the subtrees out, so that dropping the node itself goes no deeper.
fn take_apart(shape: &mut Shape, todo: &mut Vec<Layers>) {
    match std::mem::replace(shape, Shape::Leaf) {
        Shape::Leaf => {}
        Shape::Cat(cat) => todo.extend(cat.parts),
        Shape::Rep(of, _) | Shape::Mir(of) | Shape::Scale(of, _) => todo.push(of),
    }
}
