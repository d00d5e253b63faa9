//! Errors about files in words.

use crate::store::StoreError;

/// An error in words, without the system's number for it.
pub(crate) fn plain(error: &StoreError) -> String {
    without_number(&error.to_string())
}

fn without_number(words: &str) -> String {
    match words.split_once(" (os error ") {
        Some((before, rest)) => format!("{before}{}", rest.split_once(')').map_or("", |(_, after)| after)),
        None => words.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_a_system_error_goes() {
        assert_eq!(
            without_number("cannot write (Permission denied (os error 13)): /home/x"),
            "cannot write (Permission denied): /home/x"
        );
        assert_eq!(without_number("the file is empty: /home/x"), "the file is empty: /home/x");
    }
}
