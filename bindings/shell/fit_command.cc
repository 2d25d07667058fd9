#include "handwheel/fit.h"

#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "json.h"
#include "output.h"
#include "readings_file.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct FitRequest {
  PlantRequest plant;
  std::string readings_file;
  std::vector<std::string> readings;  // "L-4.flow=14.2 m3/h, 2 %"
  std::vector<std::string> vary;      // "HV-3.opening", "L-1.roughness,L-2.roughness=0.01:3 mm"
  std::string save;
  std::string loss = "huber";
  double confidence = FitOptions{}.confidence;
  int num_starts = FitOptions{}.num_starts;
};

#ifdef HANDWHEEL_OPTIMISE

std::string WithoutBlanks(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

Measurement ParseReading(const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos) {
    throw SettingError("--reading " + text +
                       ": expected gauge=value, perhaps with an uncertainty, such as "
                       "\"L-4.flow=14.2 m3/h, 2 %\".");
  }
  Measurement reading{.gauge = WithoutBlanks(text.substr(0, equals))};
  const std::string value = text.substr(equals + 1);
  const auto comma = value.find(',');
  reading.value = WithoutBlanks(value.substr(0, comma));
  if (comma != std::string::npos) reading.uncertainty = WithoutBlanks(value.substr(comma + 1));
  return reading;
}

// Targets with commas between share one number. An end of the bounds may be left out, "0.1:", and
// a unit behind the second serves both: "0.01:3 mm".
FitUnknown ParseUnknown(const std::string& text) {
  const auto equals = text.find('=');
  FitUnknown unknown{std::vector<std::string>{}};
  std::string names = text.substr(0, equals);
  for (std::size_t comma = 0; comma != std::string::npos;) {
    comma = names.find(',');
    unknown.targets.push_back(WithoutBlanks(names.substr(0, comma)));
    if (comma != std::string::npos) names.erase(0, comma + 1);
  }
  if (equals == std::string::npos) return unknown;
  const std::string range = text.substr(equals + 1);
  const auto colon = range.find(':');
  if (colon == std::string::npos) {
    throw SettingError("--vary " + text + ": expected bounds such as 0.1:0.8 after the =.");
  }
  std::string low = WithoutBlanks(range.substr(0, colon));
  const std::string high = WithoutBlanks(range.substr(colon + 1));
  const auto unit = high.find(' ');
  if (unit != std::string::npos && !low.empty() && low.find(' ') == std::string::npos) {
    low += high.substr(unit);
  }
  unknown.lower = ParseValue(low);
  unknown.upper = ParseValue(high);
  return unknown;
}

// --- JSON ----------------------------------------------------------------------------------------

class FitJson {
 public:
  static std::string Text(const FitResult& fit) {
    Json report = Of(fit);
    report["caution"] = kCaution;
    return Dump(report);
  }

 private:
  static Json Of(const FitResult& fit) {
    Json report = {{"title", fit.title}, {"solved", fit.solved}, {"verdict", fit.verdict}};
    report["units"] = "SI; covariance of logarithms where logarithmic";
    report["numbers"] = Json::array();
    for (const FittedNumber& number : fit.numbers) report["numbers"].push_back(Of(number));
    report["readings"] = Json::array();
    for (const FittedReading& reading : fit.readings) {
      report["readings"].push_back(Of(reading, fit.states[reading.state].label));
    }
    report["suspicious"] = Json::array();
    for (std::size_t r : fit.suspicious) report["suspicious"].push_back(fit.readings[r].gauge);
    report["chi_square_before"] = Number(fit.chi_square_before);
    report["chi_square"] = Number(fit.chi_square);
    report["degrees_of_freedom"] = fit.degrees_of_freedom;
    report["probability"] = Number(fit.probability);
    report["confidence"] = fit.confidence;
    report["noise"] = fit.noise;
    report["noise_from_residuals"] = fit.noise_from_residuals;
    report["covariance"] = Numbers(fit.covariance);
    report["unclear"] = fit.unclear;
    report["cautions"] = fit.cautions;
    report["num_solves"] = fit.num_solves;
    report["without"] = fit.without ? Of(*fit.without) : Json(nullptr);
    return report;
  }

  static Json Of(const FittedNumber& number) {
    return {{"targets", number.targets},
            {"before", number.before},
            {"value", number.value},
            {"lower", Number(number.lower)},
            {"upper", Number(number.upper)},
            {"standard_error", Number(number.standard_error)},
            {"logarithmic", number.logarithmic},
            {"at_bound", number.at_bound},
            {"identifiable", number.identifiable},
            {"changed", number.changed}};
  }

  static Json Of(const FittedReading& reading, const std::string& state) {
    return {{"gauge", reading.gauge},
            {"state", state},
            {"measured", reading.measured},
            {"uncertainty", reading.uncertainty},
            {"before", Number(reading.before)},
            {"after", Number(reading.after)},
            {"standardised", Number(reading.standardised)},
            {"leverage", reading.leverage}};
  }
};

// --- The verb ------------------------------------------------------------------------------------

FitResult FitUntilInterrupted(const FitRequest& request) {
  std::vector<FitUnknown> vary;
  for (const std::string& text : request.vary) vary.push_back(ParseUnknown(text));
  std::vector<Measurement> readings;
  if (!request.readings_file.empty()) readings = LoadReadings(request.readings_file);
  for (const std::string& text : request.readings) readings.push_back(ParseReading(text));
  FitOptions options;
  options.loss = request.loss == "squares" ? FitLoss::kSquares : FitLoss::kHuber;
  options.confidence = request.confidence;
  options.num_starts = request.num_starts;
  const Network network = LoadPlant(request.plant);
  const CatchInterrupt catch_interrupt;
  options.steady.callback = UntilInterrupted();
  return Fit(network, readings, vary, options);
}

int RunFit(const FitRequest& request) {
  const FitResult fit = FitUntilInterrupted(request);
  if (fit.interrupted) return ReportInterrupted();
  WriteOutput(request.plant.json ? FitJson::Text(fit) : fit.Report(), request.plant.output);
  if (!fit.solved) return kNotConverged;
  if (!request.save.empty()) WriteOutput(FormatNetwork(fit.network), request.save);
  return kOk;
}

#else

int RunFit(const FitRequest&) {
  throw Error("fit needs Ceres Solver, which this handwheel was built without.");
}

#endif

CLI::Option* AddRepeated(CLI::App* verb, const std::string& option, std::vector<std::string>* texts,
                         const std::string& help, const std::string& form) {
  return verb->add_option(option, *texts, help)->type_name(form)->expected(1)->take_all();
}

}  // namespace

void AddFit(CLI::App& app, Command* chosen) {
  CLI::App* verb =
      app.add_subcommand("fit", "What roughness, opening, blockage or draw explains the gauges?");
  const auto request = std::make_shared<FitRequest>();
  AddPlantOptions(verb, &request->plant);
  AddRepeated(verb, "--vary", &request->vary,
              "What may differ, perhaps within bounds: HV-3.opening=0.1:0.8; targets with commas "
              "between share one number",
              "TARGET[,TARGET...][=LOW:HIGH]")
      ->required();
  verb->add_option("--readings", request->readings_file,
                   "CSV file with columns gauge, value and, if wanted, uncertainty, case, settings")
      ->type_name("CSV");
  AddRepeated(verb, "--reading", &request->readings,
              "What a gauge reads, and one standard deviation: L-4.flow=\"14.2 m3/h, 2 %\"",
              "GAUGE=VALUE[,UNCERTAINTY]");
  verb->add_option("--loss", request->loss,
                   "huber: wild readings weigh in proportion; squares: least squares")
      ->check(CLI::IsMember({"huber", "squares"}))
      ->capture_default_str();
  verb->add_option("--confidence", request->confidence, "Of the intervals")->capture_default_str();
  verb->add_option("--starts", request->num_starts, "Points to search from")->capture_default_str();
  AddAnswerOptions(verb, &request->plant);
  verb->add_option("--save", request->save, "Write the network with what was found to this file")
      ->type_name("FILE");
  verb->callback([=] { *chosen = [request] { return RunFit(*request); }; });
}

}  // namespace handwheel::shell
