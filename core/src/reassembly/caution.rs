//! Cautions at the point of need: short, each with its source.
//!
//! The list is closed and the sentences are fixed. A caution comes up where one of
//! its words stands in what somebody wrote about an item or a step, and some come
//! up before the engine runs whatever was written. One too many costs a glance.
//!
//! Rule: a caution is never shown without where it comes from and without the
//! sentence that the service manual, local codes and licensed practice come first,
//! so [`Caution::told`] and [`told_together`] are the only texts of it. It holds no value of any maker and
//! no step of any procedure, and cannot be taken for the manual.

/// What has to be said with every caution.
pub const FIRST: &str = "The engine's service manual, local codes and licensed practice come first.";

/// A danger that work on a boat's engine brings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// An engine or a part of it hangs or is about to.
    Lifting,
    /// Fuel, liquid or as vapour.
    FuelVapour,
    /// Electric work that wants the battery disconnected before anything else.
    BatteryFirst,
    /// Parts that are hot or under pressure.
    HotAndPressurised,
    /// An engine that would run without cooling water.
    NoCoolingWater,
    /// Exhaust gas.
    CarbonMonoxide,
    /// A propeller or shaft that may turn.
    Propeller,
    /// A stop switch that may not stop.
    StopSwitch,
    /// Power from the shore.
    ShorePower,
}

/// Where a caution comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A regulation, standard or statute, by section.
    Rule(&'static str),
    /// What technicians do, without a text that asks for it.
    CommonPractice,
}

impl Source {
    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Source::Rule(section) => section,
            Source::CommonPractice => "common practice",
        }
    }
}

impl Caution {
    /// All, in the order in which they are told.
    pub const ALL: [Caution; 9] = [
        Caution::Lifting,
        Caution::FuelVapour,
        Caution::BatteryFirst,
        Caution::HotAndPressurised,
        Caution::NoCoolingWater,
        Caution::CarbonMonoxide,
        Caution::Propeller,
        Caution::StopSwitch,
        Caution::ShorePower,
    ];

    /// What comes up before the engine runs, whatever was written.
    pub const BEFORE_RUNNING: [Caution; 5] = [
        Caution::FuelVapour,
        Caution::NoCoolingWater,
        Caution::CarbonMonoxide,
        Caution::Propeller,
        Caution::StopSwitch,
    ];

    /// Returns its name.
    pub const fn name(self) -> &'static str {
        match self {
            Caution::Lifting => "lifting",
            Caution::FuelVapour => "fuel vapour",
            Caution::BatteryFirst => "battery first",
            Caution::HotAndPressurised => "hot and pressurised parts",
            Caution::NoCoolingWater => "no cooling water",
            Caution::CarbonMonoxide => "carbon monoxide",
            Caution::Propeller => "propeller",
            Caution::StopSwitch => "stop switch",
            Caution::ShorePower => "shore power",
        }
    }

    /// Returns where it comes from.
    pub const fn source(self) -> Source {
        match self {
            // Known as others quote it. That flat slings pull harder is geometry.
            Caution::Lifting => Source::Rule("29 CFR 1910.184(c)(9)"),
            // Read: the words of the label that the rule asks for on boats with a blower.
            Caution::FuelVapour => Source::Rule("33 CFR 183.610(f)"),
            // Known as others quote it.
            Caution::CarbonMonoxide => Source::Rule("29 CFR 1910.1000, table Z-1"),
            // Read in part. In force for ship repair since 2011-10-31 (76 FR 24576).
            Caution::Propeller => Source::Rule("29 CFR 1915.89, where the work is ship repair; else common practice"),
            Caution::BatteryFirst
            | Caution::HotAndPressurised
            | Caution::NoCoolingWater
            | Caution::StopSwitch
            | Caution::ShorePower => Source::CommonPractice,
        }
    }

    /// Returns what may hurt and what to do; whoever takes this tells the source and [`FIRST`] too.
    pub(crate) const fn sentences(self) -> &'static str {
        match self {
            Caution::Lifting => {
                "Keep everybody, and every hand, from under a lifted engine. Lift with gear rated for the load, \
                 and mind that flat slings pull harder."
            }
            Caution::FuelVapour => {
                "Gasoline vapour explodes. Run the blower for 4 minutes and check the engine compartment's bilge \
                 for vapour before starting."
            }
            Caution::BatteryFirst => {
                "Disconnect the battery before starter, charging or fuel work, negative off first and on last. \
                 Cover the loose ends."
            }
            Caution::HotAndPressurised => {
                "Let it cool and let the pressure out before it is opened. Steam, fuel and oil under pressure burn \
                 and go through skin."
            }
            Caution::NoCoolingWater => {
                "Never run the engine without cooling water, not for a moment: a dry pump impeller fails in seconds."
            }
            Caution::CarbonMonoxide => {
                "Exhaust gas kills without a smell. Run an engine in the open or with forced air; 50 ppm over \
                 8 hours is the limit for people at work in the United States."
            }
            Caution::Propeller => {
                "Make sure that nobody can start or crank the engine while hands are near propeller or shaft. \
                 Before it runs on land, take the propeller off and keep people away."
            }
            Caution::StopSwitch => {
                "Take the stop switch's link out before hands go in. Try that the switch stops the engine before \
                 the boat goes back."
            }
            Caution::ShorePower => {
                "Unplug shore power at the pedestal first, then at the boat, and test that it is dead. \
                 Never work in the water of a marina."
            }
        }
    }

    /// Returns the whole text: the sentences, the source, and what comes first.
    pub fn told(self) -> String {
        let mut text = String::from("Caution, ");
        for part in [self.name(), ": ", self.sentences(), " Source: ", self.source().words(), ". ", FIRST] {
            text.push_str(part);
        }
        text
    }

    /// Returns the words that bring it up, in lower case; two words stand one after the other.
    ///
    /// The choice is common practice. Words that would come up with nearly everything
    /// ("engine", "bolt", "cable") are left out.
    const fn words(self) -> &'static [&'static str] {
        match self {
            Caution::Lifting => &[
                "lift",
                "lifting",
                "hoist",
                "hoisting",
                "sling",
                "crane",
                "chain fall",
                "powerhead",
                "engine mount",
                "lifting eye",
                "gearcase",
            ],
            Caution::FuelVapour => &[
                "fuel",
                "gasoline",
                "petrol",
                "carburetor",
                "carburettor",
                "injector",
                "primer bulb",
                "vapour",
                "vapor",
                "blower",
            ],
            Caution::BatteryFirst => &[
                "battery",
                "batteries",
                "starter",
                "solenoid",
                "alternator",
                "charging",
                "regulator",
                "fuel",
                "gasoline",
                "petrol",
                "injector",
            ],
            Caution::HotAndPressurised => &[
                "hot",
                "exhaust",
                "manifold",
                "riser",
                "thermostat",
                "coolant",
                "heat exchanger",
                "pressure cap",
                "expansion tank",
                "turbocharger",
                "injector",
                "fuel rail",
                "hydraulic",
                "power steering",
                "accumulator",
                "pressure",
            ],
            Caution::NoCoolingWater => &[
                "impeller",
                "water pump",
                "raw water",
                "cooling water",
                "sea strainer",
                "seacock",
                "flush",
                "flushing",
                "flush fitting",
                "run",
                "test run",
                "crank",
                "cranking",
            ],
            Caution::CarbonMonoxide => &["run", "test run", "running", "idle", "exhaust", "sea trial", "generator"],
            Caution::Propeller => &[
                "propeller",
                "prop",
                "shaft",
                "stern drive",
                "gearcase",
                "crank",
                "cranking",
                "flywheel",
                "shift",
                "test run",
            ],
            Caution::StopSwitch => {
                &["stop switch", "kill switch", "lanyard", "crank", "cranking", "flywheel", "test run"]
            }
            Caution::ShorePower => &[
                "shore power",
                "charger",
                "inverter",
                "galvanic isolator",
                "isolation transformer",
                "pedestal",
                "shore cord",
                "ground fault",
            ],
        }
    }
}

/// Returns several cautions, a line each with its source, and at their end what comes first.
pub fn told_together(cautions: &[Caution]) -> Vec<String> {
    let line = |it: &Caution| [it.sentences(), " Source: ", it.source().words(), "."].concat();
    let mut lines: Vec<String> = cautions.iter().map(line).collect();
    if !lines.is_empty() {
        lines.push(FIRST.to_owned());
    }
    lines
}

/// Returns the cautions that some text brings up, each once, in the order in which they are told.
///
/// The text is what was written about an item, its kind or a step. A word counts in any case
/// of ASCII letters and with an "s" at its end, but only whole: "shot" is not "hot".
pub fn brought_up_by(text: &str) -> Vec<Caution> {
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    Caution::ALL.into_iter().filter(|it| it.words().iter().any(|phrase| stands_in(&words, phrase))).collect()
}

/// Tells whether the words of a phrase stand one after the other.
fn stands_in(words: &[&str], phrase: &str) -> bool {
    (0..words.len()).any(|at| {
        let mut rest = words[at..].iter();
        phrase.split(' ').all(|wanted| rest.next().is_some_and(|word| is_word(word, wanted)))
    })
}

fn is_word(word: &str, wanted: &str) -> bool {
    let plural = word.strip_suffix(['s', 'S']).unwrap_or(word);
    word.eq_ignore_ascii_case(wanted) || plural.eq_ignore_ascii_case(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Caution::*;

    #[test]
    fn words_bring_up_their_cautions() {
        let cases: [(&str, &[Caution]); 22] = [
            ("Powerhead, lift off with two slings", &[Lifting]),
            ("fuel line", &[FuelVapour, BatteryFirst]),
            ("FUEL-RAIL", &[FuelVapour, BatteryFirst, HotAndPressurised]),
            ("starter motor", &[BatteryFirst]),
            ("Batteries", &[BatteryFirst]),
            ("thermostat cover", &[HotAndPressurised]),
            ("exhaust riser", &[HotAndPressurised, CarbonMonoxide]),
            ("raw-water impeller", &[NoCoolingWater]),
            ("raw water\u{a0}hose", &[NoCoolingWater]),
            ("test run at the dock", &[NoCoolingWater, CarbonMonoxide, Propeller, StopSwitch]),
            ("propeller nut", &[Propeller]),
            ("shift cable", &[Propeller]),
            ("kill switch lanyard", &[StopSwitch]),
            ("shore power inlet", &[ShorePower]),
            ("shore  power", &[ShorePower]),
            // Not these.
            ("power to shore", &[]),
            ("shot-blasted bracket", &[]),
            ("M8 bolt", &[]),
            ("trunk lid", &[]),
            ("refuelled", &[]),
            ("hose", &[]),
            ("", &[]),
        ];
        for (text, expected) in cases {
            assert_eq!(brought_up_by(text), expected, "{text}");
        }
    }

    #[test]
    fn each_comes_up_by_each_of_its_words() {
        for caution in Caution::ALL {
            assert!(!caution.words().is_empty());
            for phrase in caution.words() {
                assert_eq!(*phrase, phrase.to_ascii_lowercase());
                for text in [phrase.to_uppercase(), format!("the {phrase}s, port"), format!("x/{phrase}")] {
                    assert!(brought_up_by(&text).contains(&caution), "{text}");
                }
            }
        }
    }

    #[test]
    fn none_is_told_without_its_source_and_what_comes_first() {
        for caution in Caution::ALL {
            let told = caution.told();
            assert!(told.starts_with("Caution, ") && told.ends_with(FIRST), "{told}");
            assert!(told.contains(caution.source().words()), "{told}");
            let sentences = caution.sentences();
            assert!(
                sentences.matches(". ").count() <= 1 && sentences.len() < 180,
                "two short sentences at most: {told}"
            );
            assert!(sentences.ends_with('.') && !sentences.contains("  "), "{told}");
        }
    }

    #[test]
    fn the_figures_are_those_of_their_sources() {
        // 33 CFR 183.610(f): "BEFORE STARTING ENGINE OPERATE BLOWER FOR 4 MINUTES AND CHECK ENGINE
        // COMPARTMENT BILGE FOR GASOLINE VAPORS".
        assert!(FuelVapour.told().contains("4 minutes") && FuelVapour.told().contains("33 CFR 183.610(f)"));
        // 29 CFR 1910.1000, table Z-1: carbon monoxide 50 ppm as an average over 8 hours, as the
        // agency's own answers to common questions quote it.
        assert!(CarbonMonoxide.told().contains("50 ppm over 8 hours"));
        let figures: String = Caution::ALL.iter().map(|it| it.sentences()).collect();
        let numbers: Vec<_> = figures.split(|c: char| !c.is_ascii_digit()).filter(|it| !it.is_empty()).collect();
        assert_eq!(numbers, ["4", "50", "8"], "no other figure, of a maker least of all");
    }

    #[test]
    fn what_comes_up_before_running_is_in_the_order_of_all() {
        let in_order: Vec<_> = Caution::ALL.into_iter().filter(|it| Caution::BEFORE_RUNNING.contains(it)).collect();
        assert_eq!(in_order, Caution::BEFORE_RUNNING);
    }
}
