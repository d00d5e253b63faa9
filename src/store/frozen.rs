//! Lists of words as an earlier version of a file knew them.

/// An enum without fields as it stood in an earlier version, and the step to what it is now.
macro_rules! frozen {
    ($(#[$doc:meta])* $then:ident of $now:ident { $($(#[$of:meta])* $word:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, serde::Deserialize)]
        pub(super) enum $then {
            $($(#[$of])* $word),+
        }

        impl From<$then> for $now {
            fn from(then: $then) -> Self {
                match then {
                    $($then::$word => Self::$word),+
                }
            }
        }
    };
}
pub(super) use frozen;
