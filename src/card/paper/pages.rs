//! From blocks one below the other to pages.

use super::Page;
use super::pen::Mark;

/// Something of a height that is not cut; its coordinates begin at its upper left corner.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) height: f64,
    pub(super) marks: Vec<Mark>,
    pub(super) drawings_pt: Vec<[f64; 4]>,
}

impl Block {
    pub(super) fn of(height: f64, marks: Vec<Mark>) -> Self {
        Self { height, marks, drawings_pt: Vec::new() }
    }

    pub(super) fn gap(height: f64) -> Self {
        Self::of(height, Vec::new())
    }
}

/// Blocks that stay on one page where a page holds them.
pub(super) struct Group(pub(super) Vec<Block>);

/// Puts groups below each other, and `last` at the foot of the last page.
pub(super) fn fill_pages(groups: Vec<Group>, height: f64, last: &Block) -> Vec<Page> {
    let mut pages = vec![Page::default()];
    let mut y = 0.0;
    for Group(blocks) in groups {
        let whole: f64 = blocks.iter().map(|block| block.height).sum();
        if y > 0.0 && y + whole > height && whole <= height {
            pages.push(Page::default());
            y = 0.0;
        }
        for block in blocks {
            if y > 0.0 && y + block.height > height {
                pages.push(Page::default());
                y = 0.0;
            }
            y = put(&mut pages, &block, y);
        }
    }
    if y > 0.0 && y + last.height > height {
        pages.push(Page::default());
    }
    put(&mut pages, last, height - last.height);
    pages
}

fn put(pages: &mut [Page], block: &Block, y: f64) -> f64 {
    if let Some(page) = pages.last_mut() {
        page.marks.extend(block.marks.iter().cloned().map(|mark| mark.moved((0.0, y))));
        let drawings = block.drawings_pt.iter();
        page.drawings_pt.extend(drawings.map(|[left, top, right, bottom]| [*left, top + y, *right, bottom + y]));
    }
    y + block.height
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(heights: &[f64]) -> Group {
        Group(heights.iter().map(|height| Block::gap(*height)).collect())
    }

    #[test]
    fn groups_stay_whole_where_a_page_holds_them() {
        let last = Block::gap(10.0);
        let pages = |groups: Vec<Group>| fill_pages(groups, 100.0, &last).len();
        assert_eq!(pages(vec![group(&[40.0]), group(&[40.0])]), 1);
        assert_eq!(pages(vec![group(&[40.0]), group(&[55.0])]), 2, "the foot needs its room");
        assert_eq!(pages(vec![group(&[40.0]), group(&[40.0, 40.0]), group(&[10.0])]), 2);
        assert_eq!(pages(vec![group(&[60.0; 4])]), 4, "one that no page holds goes over");
    }
}
