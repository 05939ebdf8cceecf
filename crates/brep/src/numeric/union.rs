//! Union-find: which of a number of elements are connected.

/// Disjoint sets of the elements 0 to n − 1 (Tarjan 1975). Each is represented by its least element, so that the
/// result does not depend on the order in which sets were joined.
#[derive(Clone, Debug)]
pub struct UnionFind {
    parent: Vec<usize>,
}

impl UnionFind {
    /// `count` elements, each a set of its own.
    pub fn new(count: usize) -> UnionFind {
        UnionFind { parent: (0..count).collect() }
    }

    /// The least element of the set that holds `element`.
    pub fn root(&mut self, mut element: usize) -> usize {
        while self.parent[element] != element {
            self.parent[element] = self.parent[self.parent[element]];
            element = self.parent[element];
        }
        element
    }

    /// Joins the sets of two elements.
    pub fn join(&mut self, one: usize, other: usize) {
        let (a, b) = (self.root(one), self.root(other));
        self.parent[a.max(b)] = a.min(b);
    }

    /// The least element of each element's set, in order of the elements.
    pub fn roots(mut self) -> Vec<usize> {
        (0..self.parent.len()).map(|element| self.root(element)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_are_named_by_their_least_element_in_whatever_order_they_are_joined() {
        for pairs in [[(4, 2), (2, 5), (1, 3)], [(1, 3), (5, 4), (4, 2)]] {
            let mut sets = UnionFind::new(6);
            pairs.into_iter().for_each(|(a, b)| sets.join(a, b));
            assert_eq!(sets.roots(), [0, 1, 2, 1, 2, 2]);
        }
    }
}
