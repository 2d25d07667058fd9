#include "requests.h"

#include <charconv>
#include <csignal>
#include <iostream>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"

namespace handwheel::shell {
namespace {

volatile std::sig_atomic_t g_interrupted = 0;

}  // namespace

void AddPlantOptions(CLI::App* verb, PlantRequest* plant, const PlantHelp& help) {
  AddFile(verb, &plant->file);
  AddCase(verb, &plant->case_name, help);
  AddSettings(verb, "--set", &plant->settings, help.of_set);
}

void AddAnswerOptions(CLI::App* verb, PlantRequest* plant) {
  AddJson(verb, &plant->json);
  AddOutput(verb, &plant->output);
}

void AddFile(CLI::App* verb, std::string* file) {
  verb->add_option("FILE", *file, "Network file (TOML)")->required();
}

void AddCase(CLI::App* verb, std::string* case_name, const PlantHelp& help) {
  verb->add_option("--case", *case_name, help.of_case)->type_name("NAME");
}

CLI::Option* AddJson(CLI::App* verb, bool* json) {
  return verb->add_flag("--json", *json, "Everything as JSON, in SI");
}

CLI::Option* AddCsv(CLI::App* verb, bool* csv) {
  return verb->add_flag("--csv", *csv, "A table as CSV, in SI");
}

void AddOutput(CLI::App* verb, std::string* output) {
  verb->add_option("-o,--output", *output, "Write to this file instead of the screen");
}

void AddSettings(CLI::App* verb, const std::string& option, std::vector<std::string>* settings,
                 const std::string& help) {
  verb->add_option(option, *settings, help)
      ->type_name("COMPONENT.PROPERTY=VALUE")
      ->expected(1)
      ->take_all();
}

CLI::Option* AddValveNames(CLI::App* verb, const std::string& option,
                           std::vector<std::string>* names, const std::string& help) {
  return verb->add_option(option, *names, help)
      ->type_name("VALVE,...")
      ->expected(1)
      ->take_all()
      ->delimiter(',');
}

Network LoadPlant(const PlantRequest& plant) {
  const Settings settings = ParseSettings(plant.settings);
  Network network = LoadNetwork(plant.file);
  if (!plant.case_name.empty()) network.ApplyCase(plant.case_name);
  network.Apply(settings);
  return network;
}

Value ParseValue(const std::string& text) {
  if (text == "true") return true;
  if (text == "false") return false;
  double number = 0.0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, number);
  if (read.ec == std::errc() && read.ptr == end) return number;
  return text;
}

Settings ParseSettings(const std::vector<std::string>& texts) {
  Settings settings;
  for (const std::string& text : texts) {
    const auto equals = text.find('=');
    if (equals == std::string::npos) {
      throw SettingError("--set " + text +
                         ": expected component.property=value, such as HV-3.opening=0.4");
    }
    settings.emplace_back(text.substr(0, equals), ParseValue(text.substr(equals + 1)));
  }
  return settings;
}

CatchInterrupt::CatchInterrupt() : previous_(std::signal(SIGINT, [](int) { g_interrupted = 1; })) {}
CatchInterrupt::~CatchInterrupt() {
  std::signal(SIGINT, previous_);
}
bool CatchInterrupt::Pressed() {
  return g_interrupted != 0;
}

std::function<bool(const IterationNews&)> UntilInterrupted() {
  return [](const IterationNews&) { return !CatchInterrupt::Pressed(); };
}

int ReportInterrupted() {
  std::cerr << "handwheel: interrupted\n";
  return kInterrupted;
}

}  // namespace handwheel::shell
