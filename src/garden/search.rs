//! Finding something by what a person types: large or small letters, accents and one slip of a finger make no difference.
//!
//! The order of fits is ours: people type the beginning of the name they know.

/// Letters of a word that may hold one slip, at least. Ours: shorter words are one slip from too many others.
const LEAST_LETTERS_FOR_A_SLIP: usize = 5;

/// Weight of the texts from which only the beginnings of words are looked at.
const MIDDLES_COUNT_BELOW: u8 = 2;

/// What was typed, word by word.
struct Typed {
    whole: String,
    words: Vec<String>,
}

/// What something is looked for by.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Names<'a> {
    /// Its name.
    pub name: &'a str,
    /// Other names.
    pub also: &'a [String],
    /// Its botanical or chemical name: only the beginnings of its words are looked at.
    pub formal: &'a str,
    /// What it stands with, likewise.
    pub group: &'a str,
}

/// What fits the words that a person typed, the best fit first and equals in the order they come; all for nothing typed.
///
/// Letters count alike whether large or small and without their accents. Each word must fit: the start of a name, of a word,
/// or anywhere in it, in this order; a word of five letters or more may hold one slip. The name comes before other names,
/// these before the formal name and the group.
pub fn find_named<T>(typed: &str, all: impl IntoIterator<Item = T>, names: impl Fn(&T) -> Names<'_>) -> Vec<T> {
    let typed = Typed::of(typed);
    let rank = |item: &T| {
        let Names { name, also, formal, group } = names(item);
        let fields = std::iter::once((0, name)).chain(also.iter().map(|name| (1, name.as_str())));
        typed.rank(&fields.chain([(MIDDLES_COUNT_BELOW, formal), (3, group)]))
    };
    let mut found: Vec<_> = all.into_iter().filter_map(|item| Some((rank(&item)?, item))).collect();
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, item)| item).collect()
}

/// Place in the order: names before all else, then by fit, then by weight.
type Rank = (bool, Fit, u8);

/// How well a word fits a text, best first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Fit {
    /// It is the text.
    Whole,
    /// The text begins with all that was typed.
    Start,
    /// A word of the text begins with it.
    WordStart,
    /// It stands somewhere in the text.
    Inside,
    /// A word of the text begins with it but for one slip.
    Slip,
}

impl Typed {
    fn of(typed: &str) -> Self {
        let whole = folded(typed.trim());
        let words = whole.split_whitespace().map(str::to_owned).collect();
        Self { whole, words }
    }

    /// How well texts with a weight each (a name before other names) fit; the least is the best, `None` no fit.
    fn rank<'a>(&self, texts: &(impl Iterator<Item = (u8, &'a str)> + Clone)) -> Option<Rank> {
        if self.words.is_empty() {
            return Some((false, Fit::Whole, 0));
        }
        let best = |typed: &str| {
            let fits = texts.clone().filter_map(|(weight, text)| Some((fit(typed, &folded(text))?, weight)));
            // The middle of a word tells something of a name, nothing of a botanical one: "rose" stands in Petroselinum.
            let told = fits.filter(|(fit, weight)| *weight < MIDDLES_COUNT_BELOW || *fit != Fit::Inside);
            told.map(|(fit, weight)| (weight >= MIDDLES_COUNT_BELOW, fit, weight)).min()
        };
        let each = || self.words.iter().map(|word| best(word)).collect::<Option<Vec<_>>>()?.into_iter().max();
        best(&self.whole).into_iter().chain(each()).min()
    }
}

fn fit(typed: &str, text: &str) -> Option<Fit> {
    let words = || text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    if text == typed {
        Some(Fit::Whole)
    } else if text.starts_with(typed) {
        Some(Fit::Start)
    } else if text.match_indices(typed).any(|(at, _)| !text[..at].ends_with(char::is_alphanumeric)) {
        Some(Fit::WordStart)
    } else if text.contains(typed) {
        Some(Fit::Inside)
    } else if typed.chars().count() >= LEAST_LETTERS_FOR_A_SLIP
        && words().any(|word| begins_but_for_a_slip(typed, word))
    {
        Some(Fit::Slip)
    } else {
        None
    }
}

/// Whether a word begins with what was typed, if one letter is left out, put in, changed, or two neighbours are changed about.
fn begins_but_for_a_slip(typed: &str, word: &str) -> bool {
    let (typed, word): (Vec<char>, Vec<char>) = (typed.chars().collect(), word.chars().collect());
    let same = typed.iter().zip(&word).take_while(|(a, b)| a == b).count();
    let (typed, word) = (&typed[same..], &word[same..]);
    let after = |letters: &[char], count: usize| letters.get(count..).map(<[char]>::to_vec);
    let fits = |typed: Option<Vec<char>>, word: Option<Vec<char>>| match (typed, word) {
        (Some(typed), Some(word)) => word.starts_with(&typed),
        _ => false,
    };
    let swapped = matches!((typed, word), ([a, b, ..], [c, d, ..]) if a == d && b == c);
    fits(after(typed, 1), after(word, 1))
        || fits(after(typed, 1), after(word, 0))
        || fits(after(typed, 0), after(word, 1))
        || swapped && fits(after(typed, 2), after(word, 2))
}

/// Small letters without accents.
fn folded(text: &str) -> String {
    let plain = |letter: char| match letter {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        '’' => '\'',
        '–' => '-',
        other => other,
    };
    text.to_lowercase().chars().map(plain).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_beginning_of_a_name_fits_best() {
        let fits = |typed: &str, text: &str| fit(&folded(typed), &folded(text));
        assert_eq!(fits("tomato", "Tomato"), Some(Fit::Whole));
        assert_eq!(fits("Toma", "Tomato"), Some(Fit::Start));
        assert_eq!(fits("toma", "Cherry tomato"), Some(Fit::WordStart));
        assert_eq!(fits("mato", "Tomato"), Some(Fit::Inside));
        assert_eq!(fits("frisee", "Frisée"), Some(Fit::Whole));
        assert_eq!(fits("courgete", "courgette"), Some(Fit::Slip));
        assert_eq!(fits("rose", "Roze"), None, "four letters are too few for a slip");
        assert!(
            Fit::Whole < Fit::Start
                && Fit::Start < Fit::WordStart
                && Fit::WordStart < Fit::Inside
                && Fit::Inside < Fit::Slip
        );
    }

    #[test]
    fn one_slip_and_no_more() {
        for typed in ["tomto", "tomatto", "tomado", "tomaot", "otmato", "xtomat", "toma_"] {
            assert!(begins_but_for_a_slip(typed, "tomato"), "{typed}");
        }
        for typed in ["tumado", "tmtao", "tomatoes", "potato"] {
            assert!(!begins_but_for_a_slip(typed, "tomato"), "{typed}");
        }
    }
}
