//! The words of the file that stand for values of the core.

use needleful::fabric::FabricKind as CoreFabricKind;
use needleful::habits::{Start as CoreStart, TopLeg as CoreTopLeg};
use needleful::stitch::Corner as CoreCorner;
use needleful::thread::{Fibre as CoreFibre, Winding as CoreWinding};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An enum of words, each with the value of the core that it stands for.
macro_rules! words {
    ($(#[$about:meta])* $name:ident => $core:ident { $($(#[$doc:meta])* $word:ident,)* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "kebab-case")]
        pub enum $name {
            $($(#[$doc])* $word,)*
        }

        impl From<$name> for $core {
            fn from(word: $name) -> $core {
                match word { $($name::$word => $core::$word,)* }
            }
        }
    };
}

words! {
    /// How the cloth is made.
    FabricKind => CoreFabricKind {
        /// Single threads, counted one by one.
        Evenweave,
        /// Threads woven in blocks with open holes between them.
        BlockWeave,
        /// Stiff open canvas of single threads.
        MonoCanvas,
    }
}

impl From<CoreFabricKind> for FabricKind {
    fn from(kind: CoreFabricKind) -> Self {
        match kind {
            CoreFabricKind::Evenweave => FabricKind::Evenweave,
            CoreFabricKind::BlockWeave => FabricKind::BlockWeave,
            CoreFabricKind::MonoCanvas => FabricKind::MonoCanvas,
        }
    }
}

words! {
    /// How thread is secured at the start of a new needleful.
    Start => CoreStart {
        /// A tail, worked over or under.
        Tail,
        /// A loop where every shade has an even number of strands, elsewhere a tail.
        Loop,
    }
}

words! {
    /// Which way top legs lean.
    TopLeg => CoreTopLeg {
        /// `\` over `/`.
        LeansLeft,
        /// `/` over `\`.
        LeansRight,
    }
}

words! {
    /// What a thread is spun from.
    Fibre => CoreFibre {
        /// Cotton.
        Cotton,
        /// Viscose rayon.
        Viscose,
        /// Wool.
        Wool,
        /// Silk.
        Silk,
        /// Polyester.
        Polyester,
    }
}

words! {
    /// The form a thread is wound in when sold.
    Winding => CoreWinding {
        /// Skein.
        Skein,
        /// Hank.
        Hank,
        /// Ball.
        Ball,
        /// Card.
        Card,
        /// Spool.
        Spool,
        /// Cone, sold by mass.
        Cone,
    }
}

words! {
    /// Which corner of the cell a stitch leans into.
    Corner => CoreCorner {
        /// Lower left.
        LowerLeft,
        /// Lower right.
        LowerRight,
        /// Upper right.
        UpperRight,
        /// Upper left.
        UpperLeft,
    }
}
