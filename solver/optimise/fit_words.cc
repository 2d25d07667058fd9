#include "optimise/fit_words.h"

#include <algorithm>
#include <cmath>

#include "advice/words.h"
#include "handwheel/readings.h"
#include "network/draft.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"

namespace handwheel::optimise {
namespace {

constexpr std::size_t kWidth = 100;  // of lines [characters]
// A fit worse than this happens once in so many, were model and uncertainties right.
constexpr double kPoor = 0.05;
constexpr double kTooGood = 0.001;  // and one so good as rarely
// Noise below this share of what is assumed is the solver's own.
constexpr double kExact = 1e-6;
constexpr double kRest = 1e-9;  // velocity that the solver's tolerances leave [m/s]

std::string Few(double value) {
  return FormatDecimal(value, 3);
}

bool HasProperty(const FittedNumber& number, std::string_view property) {
  return number.targets.size() == 1 && SplitTarget(number.targets[0]).property == property;
}

std::string ComponentOf(const FittedNumber& number) {
  return std::string(SplitTarget(number.targets[0]).component);
}

// --- Numbers -------------------------------------------------------------------------------------

// Shares of travel or of a coefficient in per cent, else in the unit of files.
std::string Shown(const FittedNumber& number, double value) {
  const bool share = HasProperty(number, "opening") || HasProperty(number, "blockage");
  return share ? Cat(FormatDecimal(100.0 * value, 3), " %") : number.InUnit(value);
}

std::string IntervalOf(const FittedNumber& number) {
  if (std::isnan(number.lower)) return "not told";
  if (number.at_bound) {
    const bool low = number.value <= number.lower;
    return Cat(low ? "at most " : "at least ", Shown(number, low ? number.upper : number.lower));
  }
  return Cat(Shown(number, number.lower), " to ", Shown(number, number.upper));
}

std::string FoundInWords(const FittedNumber& number) {
  const std::string interval = Cat(" (", IntervalOf(number), ")");
  const std::string value = Shown(number, number.value);
  if (HasProperty(number, "blockage")) {
    return Cat(ComponentOf(number), " has lost ", value, " of its flow coefficient", interval);
  }
  const std::string before = Cat(interval, ", not ", Shown(number, number.before));
  if (HasProperty(number, "opening")) {
    return Cat(ComponentOf(number), " is ", value, " open", before);
  }
  return Cat(number.Name(), " is ", value, before);
}

std::vector<std::string> ChangedInWords(const FitResult& fit) {
  std::vector<std::string> words;
  for (const FittedNumber& number : fit.numbers) {
    if (number.changed) words.push_back(FoundInWords(number));
  }
  return words;
}

std::vector<std::string> NamesOf(const FitResult& fit, bool identifiable) {
  std::vector<std::string> names;
  for (const FittedNumber& number : fit.numbers) {
    if (!number.changed && number.identifiable == identifiable) names.push_back(number.Name());
  }
  return names;
}

// --- The verdict ---------------------------------------------------------------------------------

std::string HowWell(const FitResult& fit) {
  const std::string squares = Cat("chi-square ", Few(fit.chi_square), ", ",
                                  std::to_string(fit.degrees_of_freedom), " expected");
  if (fit.degrees_of_freedom == 0) {
    return "There are no more readings than the numbers need: nothing checks the fit.";
  }
  if (fit.noise_from_residuals) {
    if (fit.noise < kExact) return "The model shows exactly what the gauges show.";
    return Cat("No reading states its uncertainty; the readings scatter about the model by ",
               Few(fit.noise), " times what was assumed, and the intervals go by that.");
  }
  if (fit.probability < kPoor) {
    return Cat("The model does not explain the gauges within their uncertainties (", squares,
               "): a gauge is wrong, something else in the plant differs, or the uncertainties are "
               "too small.");
  }
  return Cat("The model explains the gauges within their uncertainties (", squares, ").");
}

std::string WhatWasFound(const FitResult& fit) {
  const std::vector<std::string> changed = ChangedInWords(fit);
  std::string text = changed.empty() ? "No number varied differs from the model by more than the "
                                       "gauges can tell."
                                     : Cat(Joined(changed, "; "), ".");
  const std::vector<std::string> kept = NamesOf(fit, true), unclear = NamesOf(fit, false);
  if (!changed.empty() && !kept.empty()) {
    text += Cat(" Within what the gauges tell, ", ListInWords(kept),
                kept.size() == 1 ? " is as the model has it." : " are as the model has them.");
  }
  if (!unclear.empty()) text += Cat(" The gauges do not tell ", ListInWords(unclear, "or"), ".");
  return text;
}

std::string DeviationInWords(const FittedReading& reading, const Gauge& gauge) {
  const double off = reading.measured - reading.after;
  return Cat(GaugeText(gauge, std::abs(off)), off > 0.0 ? " more" : " less");
}

std::string AboutSuspects(const FitInput& input, const FitResult& fit) {
  if (fit.suspicious.empty()) return "";
  std::vector<std::string> names;
  for (std::size_t r : fit.suspicious) names.push_back(ReadingName(fit, r));
  if (names.size() > 1 && fit.without == nullptr) {
    return Cat(" One of ", ListInWords(names), " is wrong, and nothing tells which.");
  }
  const FittedReading& reading = fit.readings[fit.suspicious[0]];
  const Gauge& gauge = input.readings[fit.suspicious[0]].gauge;
  std::string text = Cat(" Suspicious: ", names[0], " reads ", DeviationInWords(reading, gauge),
                         " than the model says, ", Few(std::abs(reading.standardised)),
                         " times the scatter of a sound gauge.");
  if (fit.without == nullptr) return text;
  const std::vector<std::string> changed = ChangedInWords(*fit.without);
  const bool well = !(fit.without->probability < kPoor);
  text += Cat(" Without that gauge", well ? "" : ", still not within the uncertainties", ": ",
              changed.empty() ? "no number differs from the model by more than the gauges can tell"
                              : Joined(changed, "; "),
              ".");
  if (!fit.without->suspicious.empty()) {
    text += Cat(" Then ", ReadingName(*fit.without, fit.without->suspicious[0]),
                " stands out as well.");
  }
  return text;
}

// --- What is not told ----------------------------------------------------------------------------

// Why no gauge sees the roughness of a pipe, if its flow is the reason in every state.
std::string WhyUnseen(const FitInput& input, const FitResult& fit, std::size_t n) {
  const FittedNumber& number = fit.numbers[n];
  if (!HasProperty(number, "roughness")) {
    if (input.numbers[n].varied.size() > 1) return "";
    return HasProperty(number, "stuck_opening") || HasProperty(number, "leak_kv") ||
                   HasProperty(number, "vent_kv")
               ? ": it counts only in the condition that it belongs to"
               : "";
  }
  bool at_rest = true, laminar = true;
  for (const FittedState& state : fit.states) {
    const auto& pipes = state.solution.network().pipes;
    const std::vector<PipeReading> readings = ReadPipes(state.solution);
    for (std::size_t p = 0; p < pipes.size(); ++p) {
      if (pipes[p].name != ComponentOf(number)) continue;
      const bool rests = std::abs(readings[p].velocity) < kRest;
      at_rest = at_rest && rests;
      laminar = laminar && (rests || readings[p].regime == "laminar");
      if (pipes[p].friction_factor || pipes[p].hazen_williams_c) {
        return ": the pipe's friction is given otherwise";
      }
    }
  }
  if (at_rest) return ": its flow is at rest";
  return laminar ? ": its flow is laminar, where roughness does not count" : "";
}

std::string Describe(const FitInput& input, const Blind& blind, const FitResult& fit) {
  std::vector<std::string> names;
  for (std::size_t n : blind.numbers) names.push_back(fit.numbers[n].Name());
  if (names.size() == 1) {
    return Cat(blind.faint ? "The gauges hardly tell " : "No gauge sees ", names[0],
               WhyUnseen(input, fit, blind.numbers[0]), ".");
  }
  return Cat("The gauges ", blind.faint ? "hardly tell " : "cannot tell ", ListInWords(names),
             " apart: changes of one make up for changes of the other",
             names.size() == 2 ? "" : "s", blind.faint ? " nearly" : "",
             ". Vary fewer of them, give them one common value, or read a gauge between them.");
}

// --- The report ----------------------------------------------------------------------------------

class ReportWriter {
 public:
  explicit ReportWriter(const FitResult& fit) : fit_(fit) {}

  std::string Write() const {
    std::string text = Cat(fit_.title, fit_.title.empty() ? "" : ": ",
                           "what explains the gauges?\n", Hanging(fit_.verdict, kWidth, "  "));
    if (fit_.solved) text += Numbers() + Readings();
    for (const std::string& unclear : fit_.unclear) text += Hanging(unclear, kWidth, "  - ");
    if (!fit_.cautions.empty()) text += "\nTo mind\n";
    for (const std::string& caution : fit_.cautions) text += Hanging(caution, kWidth, "  - ");
    return Cat(text, "\n", kCaution, "\n");
  }

 private:
  std::string Numbers() const {
    TextTable table({.columns = "lrrl", .indent = 2, .gap = 3});
    table.Add({"number", "before", "found",
               Cat("between, with ", Few(100.0 * fit_.confidence), " % confidence")});
    for (const FittedNumber& number : fit_.numbers) {
      std::string interval = IntervalOf(number);
      if (number.at_bound) interval += ": at its bound";
      if (!number.identifiable && !std::isnan(number.lower)) interval += ": hardly told";
      table.Add(
          {number.Name(), Shown(number, number.before), Shown(number, number.value), interval});
    }
    return "\n" + table.Text();
  }

  std::string Readings() const {
    const bool states = fit_.states.size() > 1;
    TextTable table({.columns = states ? "llrrrrr" : "lrrrrr", .indent = 2, .gap = 3});
    std::vector<std::string> heading = {"gauge"};
    if (states) heading.push_back("state");
    for (const char* column : {"measured", "+-", "before", "after", "off by"}) {
      heading.push_back(column);
    }
    table.Add(heading);
    for (std::size_t r = 0; r < fit_.readings.size(); ++r) AddReading(r, states, &table);
    return Cat("\n", table.Text(),
               "  off by: measured less what the others say, over what a sound gauge scatters by\n",
               fit_.unclear.empty() ? "" : "\n");
  }

  void AddReading(std::size_t r, bool states, TextTable* table) const {
    const FittedReading& reading = fit_.readings[r];
    const Gauge gauge = FindGauge(fit_.network, reading.gauge);
    const auto shown = [&](double value) {
      return std::isnan(value) ? std::string("-") : GaugeText(gauge, value);
    };
    char off[32] = "unchecked";
    if (!std::isnan(reading.standardised)) {
      std::snprintf(off, sizeof off, "%+.1f", reading.standardised);
    }
    std::vector<std::string> cells = {reading.gauge};
    if (states) cells.push_back(fit_.states[reading.state].label);
    for (double value : {reading.measured, reading.uncertainty, reading.before, reading.after}) {
      cells.push_back(shown(value));
    }
    cells.emplace_back(off);
    const auto& suspects = fit_.suspicious;
    if (std::find(suspects.begin(), suspects.end(), r) != suspects.end()) {
      cells.push_back("suspicious");
    }
    table->AddWithRemark(cells);
  }

  const FitResult& fit_;
};

}  // namespace

std::string ReadingName(const FitResult& fit, std::size_t reading) {
  const FittedReading& read = fit.readings[reading];
  if (fit.states.size() < 2) return read.gauge;
  return Cat(read.gauge, " (", fit.states[read.state].label, ")");
}

std::string VerdictOf(const FitInput& input, const FitResult& fit) {
  return Cat(WhatWasFound(fit), " ", HowWell(fit), AboutSuspects(input, fit));
}

std::vector<std::string> UnclearWords(const FitInput& input, const std::vector<Blind>& blind,
                                      const FitResult& fit) {
  std::vector<std::string> words;
  for (const Blind& one : blind) {
    std::string said = Describe(input, one, fit);
    if (std::find(words.begin(), words.end(), said) == words.end()) words.push_back(said);
  }
  return words;
}

std::vector<std::string> CautionsOf(const FitInput& input, const FitResult& fit) {
  std::vector<std::string> words;
  if (!input.uncertainties_stated && !fit.noise_from_residuals) {
    words.push_back(
        "No reading states its uncertainty, and there are too few to show it: the intervals rest "
        "on "
        "what was assumed.");
  }
  if (fit.probability < kPoor) {
    words.push_back(
        Cat("The intervals take the stated uncertainties at their word; were all of "
            "them too small alike, it would be by ",
            Few(std::sqrt(fit.chi_square / fit.degrees_of_freedom)), "."));
  }
  if (fit.probability > 1.0 - kTooGood) {
    words.push_back(
        "The fit is better than the uncertainties allow: they are overstated, or readings were "
        "made up.");
  }
  const bool bound = std::any_of(fit.numbers.begin(), fit.numbers.end(),
                                 [](const FittedNumber& number) { return number.at_bound; });
  if (bound) {
    words.push_back(
        "A number at its bound has no interval on both sides; the others are told as if it stood "
        "there for certain.");
  }
  words.push_back(
      "A fit explains readings; it proves no cause. What was not varied is taken to be as the "
      "model "
      "has it: look at the part before acting on its number.");
  return words;
}

std::string ReportOf(const FitResult& fit) {
  return ReportWriter(fit).Write();
}

}  // namespace handwheel::optimise

namespace handwheel {

std::string FitResult::Report() const {
  return optimise::ReportOf(*this);
}

}  // namespace handwheel
