// Policy: every threshold by which gearwhy decides what it says and what it advises.
//
// Each with its unit, what it is for, what a larger one does, and where it comes from. Where no source is
// named it is our own estimate, tried on the shipped cases. How many lines are shown is the renderers', which
// places make an account is belief/accounts.h's. What only bounds work or rounding stands with the code that
// it bounds; how likely things are is the rulebook's.
#pragma once

#include <cstddef>

namespace gearwhy {

// --- What is told of the chances (explain/) ---

// Chance. An error that is smaller than the last figure shown counts for none.
inline constexpr double kRoundedAway = 0.005;
// Chance. By so much the looks that are taken for certain in a wide case may put a chance off, the least of
// these that is enough: up to one of them where it would only take long otherwise, all where it could not be
// solved. Larger: cases are solved sooner, fewer reports are left out, and estimates that could mislead are
// shown.
inline constexpr double kMostErrorForSpeed = 0.03, kMostError = 0.1;
inline constexpr double kErrors[] = {kRoundedAway, 0.015, kMostErrorForSpeed, 0.05, kMostError};
// Chance. Looks that overlook more may not be taken for certain in a case that is too wide. Larger: more
// cases have chances, and these are less exact.
inline constexpr double kOverlooksUpTo = 0.13;
// Natural logarithm of the odds. A report that moves a suspect less is not told of it: about 5 in 100.
// Larger: fewer reasons.
inline constexpr double kLeastStrength = 0.05;
// The same, of what moves it only because rivals explain the report better or worse: half as much again.
inline constexpr double kLeastOfRivals = 0.405;
// Share of itself. A fault that more likely than this came by itself is a root, one that less likely than its
// complement did is a consequence; between them it is open. Larger: more is left open.
inline constexpr double kRootFrom = 0.7;
// Factor on the odds. A cause that the reports have raised by less is as likely as in any such unit, and
// explains nothing: it is listed behind those that they speak for. Larger: fewer causes stand first.
inline constexpr double kRaisedFrom = 1.05;
// How often. A chain of links that acts more seldom brings nothing about that is spoken of. Larger: fewer
// consequences.
inline constexpr double kLeastWayToFollow = 0.05;
// How often. What a suspect brings about more seldom is no prediction of it. Larger: fewer predictions.
inline constexpr double kLeastWayToExpect = 0.1;
// Factor. Chances that differ by this at most are about the same. Larger: more suspects count as alike.
inline constexpr double kAlike = 1.2;
// Chance. Where two places, each alone, take so much together, and each at least so much, it is said to be
// one of the two. Smaller: said more often, and oftener wrong.
inline constexpr double kOneOfTwo = 0.8;
inline constexpr double kEachOfTwo = 0.2;
// Chance. An account of places behind the first is told from here on. Larger: fewer accounts.
inline constexpr double kAccountWorthTelling = 0.05;
// Chance without any cause. From here on a finding is no trouble by itself, and asks for no cause.
inline constexpr double kCommonplace = 0.3;
// Chance. Of something reported that arose by itself: from here on it stands under what is not explained.
inline constexpr double kByItself = 0.5;
// Chance. A complaint that was looked for and not found, and is less likely than this, is told as refuted.
inline constexpr double kRefutedBelow = 0.5;
// Chance. From here on an element is marked as suspected of what the reports have raised; and below this as
// cleared, where they have made that at least so much less likely (factor on the chance). Larger: fewer
// marks, and more.
inline constexpr double kSuspectedFrom = 0.1;
inline constexpr double kClearedBelow = 0.05;
inline constexpr double kClearedBy = 2;
// How many: things to expect, faults that outweigh one.
inline constexpr std::size_t kMostPredictions = 8;
inline constexpr std::size_t kMostBetter = 3;

// --- What is asked (advise/) ---

// Bits about the faults. A check that tells less is not worth asking: a fiftieth of a bit moves an even
// chance by less than a tenth either way. Larger: fewer questions.
inline constexpr double kLeastBits = 0.02;
// Bits for each minute that the repair would not take in any case. A bit for sixteen hours of work is no
// bargain; as a day with the unit on the bench tells more than that, what falls below is better asked then.
// Larger: fewer long checks.
inline constexpr double kLeastBitsPerMinute = 0.001;
// Share of the blame. A check after whose answer less is expected to lie elsewhere changes neither what is
// said nor what is done, and is not asked for. Larger: fewer questions, and more cases left open
// (tests/benchmark/talk.cc).
inline constexpr double kLeastMoved = 0.1;
// Bits at a glance. The same of a check whose answers are too much work to be worked out.
inline constexpr double kLeastBitsAtAGlance = 0.2;
// Share of the least minutes until the cause is seen. Checks that come within this of the first lead there
// equally soon: of those that move enough, less access comes first, then fewer minutes, then the rulebook's
// order. Larger: handier, and slower.
inline constexpr double kEquallySoon = 0.03;
// Share of what looks alone would still take after a check, in minutes and in checks. Tests in between
// shorten the way, so that this much of it is told: it is what drawn interviews took
// (tests/benchmark/talk.cc).
inline constexpr double kOfPlannedWay = 0.45;
// Minutes. What takes no longer, with the unit in, is looked at before the unit comes out, if it moves this
// share of the blame; and so is a complaint tried, whatever that takes, before the vehicle no longer runs.
// Larger: more questions, and fewer units out for nothing.
inline constexpr double kMinutesOfAGlance = 10;
inline constexpr double kLeastMovedBeforeUnitOut = 0.02;
// Bits. A check that tells less tells nothing and is not listed.
inline constexpr double kTellsNothing = 1e-3;
// Chance. An answer moves a suspect when its chance changes by this much; so many of the moved are told.
inline constexpr double kLeastMove = 0.005;
inline constexpr std::size_t kMostMoves = 3;
// Chance. What is likelier than this to blame is looked at even where that tells few bits, for it is all but
// certain.
inline constexpr double kLikely = 0.5;
// Chance. From here on what is left to learn could not save what looking costs. Larger: more is looked at
// first.
inline constexpr double kAllButCertain = 0.95;
// Chance. What has been seen directly and is at least so likely settles a case, as long as nothing else is
// likely that nobody has seen. Larger: more is asked after the part was seen.
inline constexpr double kSeenFrom = 0.8;
// Chance. A complaint that is no likelier than this to be still there, were all that is most likely broken
// mended, counts as explained by it. Larger: interviews end sooner, some of them at a fault that is not the
// one.
inline constexpr double kEndsUpTo = 0.3;
// How many findings are asked for at once, those that tell most: with its answers a question is to stand
// whole on a screen of 24 lines. The others are asked for afterwards, as far as they still tell.
inline constexpr std::size_t kMostAskedAtOnce = 12;
// Chance. What is less likely to be reported by itself than this is not asked for beside what is likelier:
// that it is not so tells next to nothing.
inline constexpr double kWorthAskingFor = 0.005;
// How many checks are named that can be made while something is open anyway.
inline constexpr std::size_t kMostWhileOpen = 4;

// --- What counts as seen (advise/confirm.h) ---

// How often, and of how many causes. A sight shows a fault that brings it about at least so often, and that
// hardly anything else does. Larger: fewer checks settle a case by themselves.
inline constexpr double kSightFrom = 0.75;
inline constexpr std::size_t kFewCauses = 3;
// How often. Where no check is a sight of a fault, the best that shows it at least so often stands in.
inline constexpr double kStandInFrom = 0.3;

// --- The bench (explain/bench_report.h) ---

// Standard uncertainties. A reading is clear of a limit by this; at one limit 23 in 1000 are then wrong at
// the edge (JCGM 106:2012, clause 8, from memory). Larger: more that cannot be told.
inline constexpr double kGuardBand = 2;
// Readings of one place from which on their own spread counts, and times what the instrument explains from
// which on it is uneven, or misread.
inline constexpr std::size_t kEnoughForSpread = 5;
inline constexpr double kUnevenFrom = 3;
// Standard uncertainties of the difference. Two instruments further apart contradict each other.
inline constexpr double kContradictFrom = 3;
// °C, a standard uncertainty. What a part has inside is that far from the temperature that is read of it:
// common practice.
inline constexpr double kTemperatureDoubt = 3;
// Share. What is measured because of a complaint is taken to be no rarer (bench/verdict.h).
inline constexpr double kLeastRare = 0.2;
// Share of new. What cannot be told from new may be this much off.
inline constexpr double kAsNewWithin = 0.05;
// Standard deviations from the limit to a new part: of parts that come in worn, one in a hundred is still as
// new. Where nothing but the limit is known, parts differ by this share of it. Common practice, and ours to
// estimate.
inline constexpr double kSpreadsToNew = 2.3;
inline constexpr double kSpreadOfLimit = 0.1;
// Chance. From this on an instrument is said to tell.
inline constexpr double kTellsFrom = 0.5;
// Chance of a variant. From this on what its limits say of a reading is said of the reading.
inline constexpr double kNearlyKnown = 0.95;

// --- Whether it can be given back (explain/close_out.h) ---

// Chance. A complaint that is less likely to be still there than this is settled. Larger: more is given back,
// and comes back.
inline constexpr double kSettledBelow = 0.05;

// --- Whether the unit comes out (advise/pull.h), all of the chance that its repair needs it out ---

// Up to this it is best left in. Larger: fewer units out, more that come back for it.
inline constexpr double kLeaveInUpTo = 0.2;
// Of the chance that anything is broken: below this share of it the unit is not taken out while anything else
// is worth asking. Larger: more questions, and fewer units pulled for nothing (tests/benchmark/talk.cc).
inline constexpr double kMayStayIn = 0.7;
// From this on it comes out, unless a check with the unit in may still carry it below. Below, where no check
// with the unit in is worth making, it is left open. Smaller: more units out for nothing, fewer left open.
inline constexpr double kWouldChange = 0.7;
// Of nothing to blame: from this on that is what is said.
inline constexpr double kNothingFrom = 0.5;
// Of an answer: what is rarer is not counted on; what changes the chance less is not told; how many are told.
inline constexpr double kOften = 0.05;
inline constexpr double kLeastChange = 0.02;
inline constexpr std::size_t kMostChanges = 3;

// --- Words (advise/match_words.h) ---

// Share of a finding's words that were said: what matches less is not offered, nor what matches less than
// this share of the best. Larger: fewer offers.
inline constexpr double kLeastScore = 0.3;
inline constexpr double kLeastOfBest = 0.6;
// What matches less than this is offered as the nearest only, not as understood. Larger: more has to be
// chosen by hand.
inline constexpr double kSureScore = 0.45;

// --- The rulebook looked at (study/) ---

// Chance. An expectation that something is not suspected allows it this much, unless it says otherwise.
inline constexpr double kNotSuspected = 0.1;
// How often. The least of the scale's "usually", some room left.
inline constexpr double kUsually = 0.75;

}  // namespace gearwhy
