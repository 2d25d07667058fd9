#include "optimise/settings_words.h"

#include <algorithm>
#include <cmath>

#include "advice/words.h"
#include "network/draft.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"

namespace handwheel {
namespace {

std::string TurnsText(double turns) {
  return FormatDecimal(std::round(100.0 * turns) / 100.0, 6);
}

// "HV-3.opening 0.368 (1.84 of 5 turns open; it stands at 0.6)"
std::string SettingInWords(const FoundSetting& setting) {
  std::string text = Cat(setting.target, " ", setting.text, " (");
  if (!std::isnan(setting.turns)) {
    text +=
        Cat(TurnsText(setting.turns), " of ", TurnsText(setting.turns_of_travel), " turns open; ");
  }
  if (setting.text == setting.present_text) return text + "as it stands)";
  return text + Cat("now ", setting.present_text, ")");
}

std::string SettingsInWords(const FoundSettings& found) {
  std::vector<std::string> parts;
  for (const FoundSetting& setting : found.settings) parts.push_back(SettingInWords(setting));
  return ListInWords(parts);
}

bool IsExact(const FoundTarget& target) {
  return target.lower == target.upper;
}

std::string TargetInWords(const FoundTarget& target) {
  if (!target.reached) {
    return Cat(target.gauge, " ", target.value_text, ", ", target.miss_text,
               target.miss < 0.0 ? " short of " : " more than ",
               IsExact(target) ? target.wanted : Cat("the ", target.wanted, " asked for"));
  }
  if (IsExact(target)) return Cat(target.gauge, " ", target.value_text, " as asked");
  return Cat(target.gauge, " ", target.value_text, " (", target.wanted, " asked for)");
}

std::string TargetsInWords(const FoundSettings& found, bool reached) {
  std::vector<std::string> parts;
  for (const FoundTarget& target : found.targets) {
    if (target.reached == reached) parts.push_back(TargetInWords(target));
  }
  return ListInWords(parts);
}

bool NothingChanges(const FoundSettings& found) {
  return std::all_of(found.settings.begin(), found.settings.end(), [](const FoundSetting& setting) {
    return setting.text == setting.present_text;
  });
}

std::string BindingInWords(const FoundSettings& found) {
  std::vector<std::string> told;
  for (const BindingLimit& limit : found.binding) {
    if (std::find(told.begin(), told.end(), limit.message) == told.end()) {
      told.push_back(limit.message);
    }
  }
  return told.empty() ? "" : Cat("\nWhat binds: ", Joined(told, "; "), ".");
}

std::string NewAdviceInWords(const FoundSettings& found) {
  if (found.new_advice.empty()) return "";
  std::vector<std::string> parts;
  for (const Advice& advice : found.new_advice) {
    parts.push_back(Cat(advice.component, " ", advice.kind, " (", advice.severity, ")"));
  }
  return Cat("\nBut these settings bring what the plant as it stands has not: ", ListInWords(parts),
             ".");
}

// The first column to the left, the others to the right.
TextTable NumbersTable() {
  return TextTable({.columns = "lr", .indent = 2, .gap = 3});
}

std::string SettingsTable(const FoundSettings& found) {
  TextTable table = NumbersTable();
  table.Add({"setting", "now", "found", "turns open", "of"});
  for (const FoundSetting& setting : found.settings) {
    const bool wheel = !std::isnan(setting.turns);
    table.Add({setting.target, setting.present_text, setting.text,
               wheel ? TurnsText(setting.turns) : "",
               wheel ? TurnsText(setting.turns_of_travel) : ""});
  }
  return table.Text();
}

std::string TargetsTable(const FoundSettings& found) {
  TextTable table = NumbersTable();
  table.Add({"target", "now", "found", "wanted", ""});
  for (const FoundTarget& target : found.targets) {
    table.Add({target.gauge, target.present_text, target.value_text, target.wanted,
               target.reached ? "reached" : Cat("missed by ", target.miss_text)});
  }
  return table.Text();
}

std::string AdviceText(const FoundSettings& found) {
  std::string text;
  for (const Advice& advice : found.new_advice) {
    text += Cat("new ", advice.severity, ": ", advice.kind, " (", advice.component, ")\n  ",
                advice.message, "\n  check: ", advice.check, "\n");
  }
  return text.empty() ? "" : Cat("\n", text);
}

}  // namespace

std::string WantedText(const Gauge& gauge, double lower, double upper) {
  if (lower == upper) return GaugeText(gauge, lower);
  if (std::isinf(upper)) return Cat("at least ", GaugeText(gauge, lower));
  if (std::isinf(lower)) return Cat("at most ", GaugeText(gauge, upper));
  return Cat(GaugeText(gauge, lower), " to ", GaugeText(gauge, upper));
}

std::string AtEndInWords(const FoundSetting& setting) {
  const Target parts = SplitTarget(setting.target);
  if (parts.property == "opening") {
    if (setting.at_upper && setting.value == 1.0) return Cat(parts.component, " is fully open");
    if (setting.at_lower && setting.value == 0.0) return Cat(parts.component, " is shut");
  }
  return Cat(setting.target, " is at its ", setting.at_upper ? "upper" : "lower", " end, ",
             setting.text);
}

std::string ComesFirstInWords(const FoundTarget& first, const Gauge& gauge) {
  if (!first.reached) return Cat(first.gauge, ", which comes first, would miss by more");
  if (IsExact(first)) return Cat(first.gauge, ", which comes first, would leave ", first.wanted);
  const bool low = std::abs(first.value - first.lower) < std::abs(first.value - first.upper);
  return Cat(first.gauge, ", which comes first, would ", low ? "fall below " : "rise above ",
             GaugeText(gauge, low ? first.lower : first.upper));
}

std::string VerdictOf(const FoundSettings& found) {
  if (found.reached && NothingChanges(found)) {
    return Cat("Reached as it stands: ", TargetsInWords(found, true), ".", NewAdviceInWords(found));
  }
  if (found.reached) {
    return Cat("Reached with ", SettingsInWords(found), ":\n", TargetsInWords(found, true), ".",
               NewAdviceInWords(found));
  }
  std::string text = Cat("Not reached. The nearest is ", SettingsInWords(found), ":\n",
                         TargetsInWords(found, false));
  const std::string others = TargetsInWords(found, true);
  if (!others.empty()) text += Cat("; ", others);
  return Cat(text, ".", BindingInWords(found), NewAdviceInWords(found));
}

Settings FoundSettings::ToSettings() const {
  Settings to;
  for (const FoundSetting& setting : settings) to.emplace_back(setting.target, setting.value);
  return to;
}

std::string FoundSettings::Report() const {
  std::string text = title.empty() ? "" : Cat(title, "\n");
  text += Cat(verdict, "\n");
  if (solution) {
    text += Cat("\n", SettingsTable(*this), "\n", TargetsTable(*this), AdviceText(*this));
    text += Cat("\n", std::to_string(num_solves), " steady states from ",
                std::to_string(num_starts), num_starts == 1 ? " start.\n" : " starts.\n");
  }
  for (const std::string& caution : cautions) text += Cat(caution, "\n");
  return Cat(text, kCaution, "\n");
}

}  // namespace handwheel
