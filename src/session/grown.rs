//! A list that changes at its end alone, and whose copies cost little: whole blocks are shared.

use std::sync::Arc;

/// Items of a block: a copy of the list shares these.
const BLOCK: usize = 64;

/// What the log adds to again and again: trips to the fire, notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Grown<T> {
    /// Whole ones.
    blocks: Vec<Arc<Vec<T>>>,
    /// Behind them; empty only where all is.
    open: Vec<T>,
}

impl<T> Default for Grown<T> {
    fn default() -> Self {
        Self {
            blocks: Vec::new(),
            open: Vec::new(),
        }
    }
}

impl<T> Extend<T> for Grown<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, items: I) {
        items.into_iter().for_each(|item| self.push(item));
    }
}

impl<T> Grown<T> {
    /// One more at the end.
    pub fn push(&mut self, item: T) {
        if self.open.len() == BLOCK {
            let whole = std::mem::replace(&mut self.open, Vec::with_capacity(BLOCK));
            self.blocks.push(Arc::new(whole));
        }
        self.open.push(item);
    }

    /// The newest.
    pub fn last_mut(&mut self) -> Option<&mut T> {
        self.open.last_mut()
    }

    /// The newest of which that is true.
    pub fn last_where(&mut self, is: impl Fn(&T) -> bool) -> Option<&mut T>
    where
        T: Clone,
    {
        if let Some(at) = self.open.iter().rposition(&is) {
            return self.open.get_mut(at);
        }
        let whole = self.blocks.iter_mut().rev();
        let (block, at) = whole
            .filter_map(|block| {
                let at = block.iter().rposition(&is)?;
                Some((block, at))
            })
            .next()?;
        Arc::make_mut(block).get_mut(at)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.blocks.len() * BLOCK + self.open.len()
    }

    /// True for none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.open.is_empty()
    }

    /// From the oldest on.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &T> + Clone {
        let whole = self.blocks.iter().flat_map(|block| block.iter());
        whole.chain(&self.open)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_list_that_was_pushed_and_a_copy_stays_as_it_was() {
        let mut grown = Grown::default();
        let mut plain = Vec::new();
        let mut copies = Vec::new();
        for n in 0..200 {
            assert_eq!(grown.is_empty(), plain.is_empty());
            grown.push(n);
            plain.push(n);
            if n % 7 == 0 {
                *grown.last_mut().unwrap() += 1000;
                *plain.last_mut().unwrap() += 1000;
            }
            copies.push((grown.clone(), plain.clone()));
        }
        for (grown, plain) in copies {
            assert_eq!(grown.len(), plain.len());
            assert!(grown.iter().eq(&plain));
            assert!(grown.iter().rev().eq(plain.iter().rev()));
        }
    }
}
