#include "studies/backflow_words.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "advice/words.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

std::string ScalarInWords(const Scalar& scalar) {
  if (const double* number = std::get_if<double>(&scalar)) return FormatDecimal(*number, 6);
  return std::get<std::string>(scalar);
}

std::string ValueInWords(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return *on ? "true" : "false";
  if (const double* number = std::get_if<double>(&value)) return FormatDecimal(*number, 6);
  if (const std::string* text = std::get_if<std::string>(&value)) return *text;
  std::vector<std::string> rows;
  for (const auto& [first, second] : std::get<Rows>(value)) {
    rows.push_back(Cat(ScalarInWords(first), ": ", ScalarInWords(second)));
  }
  return Cat("{", ListInWords(rows), "}");
}

std::string SettingsInWords(const Settings& settings) {
  std::vector<std::string> words;
  for (const auto& [target, value] : settings) {
    words.push_back(Cat(target, " = ", ValueInWords(value)));
  }
  return ListInWords(words);
}

std::string Capitalised(std::string text) {
  if (!text.empty() && 'a' <= text[0] && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

// --- Streams: paths between the same two ends, back through the same pumps, taken together

struct Stream {
  const BackflowPath* largest = nullptr;
  double flow = 0.0;  // [m³/s]
  std::size_t routes = 0;
  std::vector<std::string> through;  // pumps it passes backwards
};

bool Contains(const std::vector<std::string>& list, const std::string& name) {
  return std::find(list.begin(), list.end(), name) != list.end();
}

std::vector<std::string> ReversedPumpsOn(const BackflowPath& path, const BackflowState& state) {
  std::vector<std::string> names;
  for (const ReversedPump& pump : state.reversed_pumps) {
    if (Contains(path.components, pump.name)) names.push_back(pump.name);
  }
  return names;
}

bool SameWay(const Stream& a, const Stream& b) {
  const BackflowPath &one = *a.largest, &other = *b.largest;
  // What goes round is told apart by the pumps that drive it.
  return one.source == other.source && one.sink == other.sink && a.through == b.through &&
         (!one.goes_round() || one.driven_by == other.driven_by);
}

std::vector<Stream> StreamsOf(const BackflowState& state) {
  std::vector<Stream> streams;
  for (const BackflowPath& path : state.paths) {
    const Stream alone{&path, path.flow, 1, ReversedPumpsOn(path, state)};
    const auto known = std::find_if(streams.begin(), streams.end(),
                                    [&](const Stream& stream) { return SameWay(stream, alone); });
    if (known == streams.end()) {
      streams.push_back(alone);
    } else {
      known->flow += path.flow;
      ++known->routes;
    }
  }
  std::stable_sort(streams.begin(), streams.end(),
                   [](const Stream& a, const Stream& b) { return a.flow > b.flow; });
  return streams;
}

// "from header tank to day tank through P-1", "round through P-2 and back through P-1"
std::string WayOf(const Stream& stream) {
  const BackflowPath& path = *stream.largest;
  const std::string back = ListInWords(stream.through);
  if (path.goes_round()) {
    return Cat("round through ", ListInWords(path.driven_by), " and back through ",
               back.empty() ? ListInWords(path.backward) : back);
  }
  return Cat("from ", path.source, " to ", path.sink, back.empty() ? "" : " through ", back);
}

std::string DriveOf(const Stream& stream) {
  const BackflowPath& path = *stream.largest;
  const std::string pumps = ListInWords(path.driven_by);
  if (path.goes_round() || (!pumps.empty() && !(path.driving_head > 0.0))) return pumps;
  return Cat(InMetres(path.driving_head), pumps.empty() ? "" : " and ", pumps);
}

// What a failure adds: streams between other ends, back through other pumps, or clearly larger.
std::vector<Stream> StreamsBeyond(const BackflowState& state, const BackflowState& reference) {
  constexpr double kClearly = 1.05;
  std::vector<Stream> beyond;
  const std::vector<Stream> known = StreamsOf(reference);
  for (const Stream& stream : StreamsOf(state)) {
    const bool is_known = std::any_of(known.begin(), known.end(), [&](const Stream& other) {
      return SameWay(stream, other) && stream.flow <= kClearly * other.flow;
    });
    if (!is_known) beyond.push_back(stream);
  }
  return beyond;
}

// The two largest, and how many more.
std::string StreamsInWords(const std::vector<Stream>& streams) {
  constexpr std::size_t kShown = 2;
  std::vector<std::string> words;
  for (std::size_t i = 0; i < std::min(streams.size(), kShown); ++i) {
    words.push_back(Cat(InCubicMetres(streams[i].flow), " ", WayOf(streams[i])));
  }
  const std::size_t more = streams.size() - words.size();
  if (more > 0)
    words.push_back(Cat(std::to_string(more), more == 1 ? " lesser way" : " lesser ways"));
  return ListInWords(words);
}

// --- The verdict ---

// What one check valve lets through on its own.
struct SingleValve {
  std::string name;
  double worst = 0.0;  // [m³/s]
  std::vector<Stream> passing, stuck;
};

class BackflowVerdict {
 public:
  explicit BackflowVerdict(const BackflowResult& result)
      : result_(result), as_it_stands_(result.as_it_stands()) {
    for (const BackflowState& state : result.states) AddSingle(state);
    std::stable_sort(singles_.begin(), singles_.end(),
                     [](const SingleValve& a, const SingleValve& b) { return a.worst > b.worst; });
  }

  std::string Write() const {
    std::string text = Opening();
    if (as_it_stands_.solved || !singles_.empty()) text += SinglesInWords();
    if (singles_.empty()) text += PairInWords();
    return text + Reservations();
  }

 private:
  void AddSingle(const BackflowState& state) {
    if (state.failed.size() != 1 || !state.solved) return;
    const std::vector<Stream> streams = StreamsBeyond(state, as_it_stands_);
    if (streams.empty()) return;
    const FailedCheckValve& failed = state.failed[0];
    auto found = std::find_if(singles_.begin(), singles_.end(), [&](const SingleValve& single) {
      return single.name == failed.name;
    });
    if (found == singles_.end()) {
      singles_.push_back({.name = failed.name, .worst = 0.0, .passing = {}, .stuck = {}});
      found = singles_.end() - 1;
    }
    (failed.condition == "passing" ? found->passing : found->stuck) = streams;
    found->worst = std::max(found->worst, streams.front().flow);
  }

  std::string Opening() const {
    if (!as_it_stands_.solved) {
      return Cat("Unknown with the check valves as they are: ", as_it_stands_.reason, ".");
    }
    if (as_it_stands_.RunsBack()) {
      return Cat("Yes, with every check valve as it is: ", StreamsInWords(StreamsOf(as_it_stands_)),
                 ".");
    }
    if (!singles_.empty()) {
      std::vector<std::string> names;
      for (const SingleValve& single : singles_) names.push_back(single.name);
      if (names.size() > kShownValves) return "No, as long as every check valve holds.";
      return Cat("No, as long as ", ListInWords(names), names.size() == 1 ? " holds." : " hold.");
    }
    if (result_.RunsBackInAnyState()) return "No, unless two check valves fail at once.";
    return Cat("No: nothing runs backwards", FailuresTried(), ".");
  }

  std::string FailuresTried() const {
    if (result_.states.size() == 1) return "";
    return result_.max_failed >= 2 ? ", not even with any two check valves failed"
                                   : ", not even with any one check valve failed";
  }

  std::string SinglesInWords() const {
    std::string text;
    const std::string also = as_it_stands_.RunsBack() ? "also " : "";
    for (std::size_t i = 0; i < std::min(singles_.size(), kShownValves); ++i) {
      const SingleValve& single = singles_[i];
      std::vector<std::string> halves;
      if (!single.passing.empty()) {
        halves.push_back(Cat("passes, ", also, StreamsInWords(single.passing)));
      }
      if (!single.stuck.empty()) {
        const bool same = !single.passing.empty() && single.passing.size() == 1 &&
                          single.stuck.size() == 1 &&
                          WayOf(single.passing[0]) == WayOf(single.stuck[0]);
        halves.push_back(
            Cat("sticks open, ", same ? "" : also,
                same ? InCubicMetres(single.stuck[0].flow) : StreamsInWords(single.stuck)));
      }
      text += Cat(" If ", single.name, " ", halves[0], halves.size() > 1 ? "; if it " : "",
                  halves.size() > 1 ? halves[1] : "", ".");
    }
    if (singles_.size() > kShownValves) {
      text += Cat(" ", std::to_string(singles_.size() - kShownValves),
                  " more check valves matter likewise.");
    }
    return text;
  }

  // Of the worst pair, where single failures do nothing.
  std::string PairInWords() const {
    for (const BackflowState& state : result_.states) {
      if (state.failed.size() < 2 || !state.solved) continue;
      const std::vector<Stream> streams = StreamsBeyond(state, as_it_stands_);
      if (streams.empty()) continue;
      return Cat(" If ", FailuresInWords(state.failed), ", ", StreamsInWords(streams), ".");
    }
    return "";
  }

  std::string Reservations() const {
    std::string text;
    const auto unsolved = static_cast<std::size_t>(
        std::count_if(result_.states.begin() + 1, result_.states.end(),
                      [](const BackflowState& state) { return !state.solved; }));
    if (unsolved > 0) {
      text += Cat(" ", std::to_string(unsolved), unsolved == 1 ? " state has" : " states have",
                  " no solution and may be worse.");
    }
    if (result_.num_skipped > 0) {
      text += Cat(" ", std::to_string(result_.num_skipped),
                  " more combinations of failed check valves were not tried (max_states).");
    }
    if (result_.interrupted) text += " Interrupted: not every state was tried.";
    return text;
  }

  static constexpr std::size_t kShownValves = 3;
  const BackflowResult& result_;
  const BackflowState& as_it_stands_;
  std::vector<SingleValve> singles_;
};

// --- The report ---

constexpr std::size_t kLineWidth = 99;  // [characters]

std::string Paragraph(std::string_view text) {
  return Wrapped(text, kLineWidth);
}

std::string Item(std::string_view text) {
  return Wrapped(text, kLineWidth, "  ", "    ");
}

std::string FailuresInTable(const std::vector<FailedCheckValve>& failed) {
  if (failed.empty()) return "as they are";
  std::vector<std::string> words;
  for (const FailedCheckValve& valve : failed) words.push_back(valve.name + " " + valve.condition);
  return Joined(words, ", ");
}

class BackflowReport {
 public:
  explicit BackflowReport(const BackflowResult& result) : result_(result) {}

  std::string Write() {
    std::string text = Cat(result_.title.empty() ? "" : result_.title + ": ",
                           Capitalised(result_.scenario), ". Can liquid run backwards?\n\n");
    text += Paragraph(result_.Verdict()) + "\n" + Table();
    text += Details();
    text += Held();
    return text + Cautions();
  }

 private:
  void AddRows(const BackflowState& state) {
    const std::string failures = FailuresInTable(state.failed);
    if (!state.solved) {
      table_.AddWithRemark({failures, "-", "no solution: " + state.reason});
      return;
    }
    const std::vector<Stream> streams = StreamsOf(state);
    if (streams.empty()) table_.Add({failures, "0", "nothing runs back"});
    constexpr std::size_t kShown = 3;
    for (std::size_t i = 0; i < std::min(streams.size(), kShown); ++i) {
      table_.Add({i == 0 ? failures : "", ThreeDigits(streams[i].flow * kHour), WayOf(streams[i]),
                  DriveOf(streams[i])});
    }
    if (streams.size() > kShown) {
      table_.Add({"", "", Cat(std::to_string(streams.size() - kShown), " lesser ways")});
    }
  }

  // Whether a pair does more than either of its valves alone.
  bool AddsToSingles(const BackflowState& pair) const {
    constexpr double kClearly = 1.05;
    double single = result_.as_it_stands().flow;
    for (const BackflowState& state : result_.states) {
      if (state.failed.size() != 1 || !state.solved) continue;
      const bool is_part =
          std::find(pair.failed.begin(), pair.failed.end(), state.failed[0]) != pair.failed.end();
      if (is_part) single = std::max(single, state.flow);
    }
    return !pair.solved || pair.flow > kClearly * single + result_.least_flow;
  }

  std::string Table() {
    constexpr std::size_t kMostSingles = 14, kMostPairs = 8;
    table_.Add({"check valves", "m3/h", "runs backwards", "driven by"});
    AddRows(result_.as_it_stands());
    std::size_t singles = 0, pairs = 0, idle_pairs = 0;
    for (const BackflowState& state : result_.states) {
      if (state.failed.size() == 1 && singles++ < kMostSingles) AddRows(state);
    }
    for (const BackflowState& state : result_.states) {
      if (state.failed.size() < 2) continue;
      if (!AddsToSingles(state)) {
        ++idle_pairs;
      } else if (pairs++ < kMostPairs) {
        AddRows(state);
      }
    }
    std::string text = table_.Text();
    if (singles > kMostSingles) text += More(singles - kMostSingles, "single failure");
    if (pairs > kMostPairs) text += More(pairs - kMostPairs, "pair");
    if (idle_pairs > 0) {
      text += Cat("  ", std::to_string(idle_pairs), idle_pairs == 1 ? " pair adds" : " pairs add",
                  " nothing to what either valve does alone\n");
    }
    return text;
  }

  static std::string More(std::size_t count, const char* what) {
    return Cat("  and ", std::to_string(count), " more ", what, count == 1 ? "" : "s", "\n");
  }

  // Of the state as it stands and of the worst.
  std::string Details() const {
    const BackflowState& as_it_stands = result_.as_it_stands();
    std::string text;
    if (as_it_stands.RunsBack()) {
      text += "\nWith the check valves as they are\n" + DetailsOf(as_it_stands);
    }
    const BackflowState* worst = nullptr;
    for (const BackflowState& state : result_.states) {
      const bool counts = !state.failed.empty() && state.solved && state.RunsBack() &&
                          !StreamsBeyond(state, as_it_stands).empty();
      // A pair only where no single failure does anything.
      if (counts && (worst == nullptr || state.failed.size() < worst->failed.size()))
        worst = &state;
    }
    if (worst != nullptr) {
      text += Cat("\nIf ", FailuresInWords(worst->failed), "\n") + DetailsOf(*worst);
    }
    return text;
  }

  static std::string DetailsOf(const BackflowState& state) {
    constexpr std::size_t kShown = 4;
    std::string text;
    const std::vector<Stream> streams = StreamsOf(state);
    for (std::size_t i = 0; i < std::min(streams.size(), kShown); ++i) {
      text += Item(RouteOf(streams[i]));
    }
    for (const FillingVessel& vessel : state.filling) {
      std::string line = Cat(vessel.name, " fills with ", InCubicMetres(vessel.flow));
      if (std::isfinite(vessel.level_rise)) {
        line += Cat(", ", ThreeDigits(vessel.level_rise * kHour), " m an hour");
      }
      text += Item(line + ".");
    }
    for (const ReversedPump& pump : state.reversed_pumps) text += Item(ReversalOf(pump));
    return text;
  }

  static std::string RouteOf(const Stream& stream) {
    const BackflowPath& path = *stream.largest;
    std::vector<std::string> stops = path.components;
    if (!path.goes_round()) {
      stops.insert(stops.begin(), path.source);
      if (stops.back() != path.sink) stops.push_back(path.sink);  // a nozzle is its own outlet
    }
    std::string text = Cat(InCubicMetres(stream.flow), ": ", Joined(stops, " > "));
    if (path.goes_round()) text += " and round again";
    if (stream.routes > 1)
      text += Cat(" (the largest of ", std::to_string(stream.routes), " ways)");
    return text + ".";
  }

  static std::string ReversalOf(const ReversedPump& pump) {
    std::string text = Cat(InCubicMetres(-pump.flow), " is pushed back through ", pump.name,
                           pump.running ? ", which runs against it" : "");
    if (!pump.running && pump.reverse_speed > 0.0) {
      text += Cat(", which may spin in reverse at about ", InPercent(pump.reverse_speed),
                  " of its speed: never start it so");
    }
    return text + ".";
  }

  std::string Held() const {
    constexpr std::size_t kShown = 8;
    std::string text;
    for (std::size_t i = 0; i < std::min(result_.held.size(), kShown); ++i) {
      text += Item(HeldInWords(result_.held[i]));
    }
    if (result_.held.size() > kShown) text += More(result_.held.size() - kShown, "held way");
    return text.empty() ? "" : "\nWhat holds, with the check valves as they are\n" + text;
  }

  static std::string HeldInWords(const HeldPath& path) {
    const std::string pumps = ListInWords(path.driven_by);
    const std::string back =
        path.through.empty() ? "" : Cat(" through ", ListInWords(path.through));
    const std::string held =
        Cat(" because ", ListInWords(path.held_by), path.held_by.size() == 1 ? " holds" : " hold");
    if (path.source == path.sink) return Cat(pumps, " drives nothing back", back, held, ".");
    std::string drive = path.driving_head > 0.0 ? InMetres(path.driving_head) : "";
    if (!pumps.empty()) drive += Cat(drive.empty() ? "" : " and ", pumps);
    return Cat("Nothing runs from ", path.source, " to ", path.sink, back, held, " against ", drive,
               ".");
  }

  std::string Cautions() const {
    std::string text = "\n";
    if (!result_.before_failure.empty()) {
      text += Paragraph(Cat("The state before has no solution (", result_.before_failure,
                            "), so only pumps and one-way parts tell what runs backwards."));
    }
    text += Paragraph(
        "Each line is a steady state, for the levels as they stand: what runs after the event, not "
        "its first moments. Run-down, the slam of a check valve and surge are not in it.");
    return text + Paragraph(kCaution);
  }

  const BackflowResult& result_;
  TextTable table_{{.columns = "lrl", .indent = 2, .gap = 2}};
};

}  // namespace

std::string ScenarioInWords(const BackflowScenario& scenario) {
  std::vector<std::string> words;
  if (!scenario.case_name.empty()) words.push_back(Cat("case ", Quoted(scenario.case_name)));
  if (scenario.trips.size() == 1) words.push_back(scenario.trips[0] + " trips");
  if (scenario.trips.size() > 1) words.push_back(ListInWords(scenario.trips) + " trip");
  if (scenario.power_loss) words.push_back("the power fails and every pump stops");
  if (!scenario.settings.empty()) words.push_back(SettingsInWords(scenario.settings));
  return words.empty() ? "as it stands" : ListInWords(words);
}

std::string FailuresInWords(const std::vector<FailedCheckValve>& failed) {
  const auto verb = [](const FailedCheckValve& valve, bool one) {
    return std::string(valve.condition == "passing" ? one ? " passes" : " pass"
                       : one                        ? " sticks open"
                                                    : " stick open");
  };
  if (failed.empty()) return "every check valve is as it is";
  if (failed.size() == 1) return failed[0].name + verb(failed[0], true);
  if (failed[0].condition == failed[1].condition) {
    return Cat(failed[0].name, " and ", failed[1].name, verb(failed[0], false));
  }
  return Cat(failed[0].name, verb(failed[0], true), " and ", failed[1].name, verb(failed[1], true));
}

std::string BackflowResult::Verdict() const {
  return BackflowVerdict(*this).Write();
}

std::string BackflowResult::Report() const {
  return BackflowReport(*this).Write();
}

}  // namespace handwheel
