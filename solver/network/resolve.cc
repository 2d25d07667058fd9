#include "network/resolve.h"

#include <string>

#include "correlations/pipe_sizes.h"
#include "correlations/roughness.h"
#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

constexpr std::string_view kUsualSchedule = "40";
constexpr std::string_view kUsualMaterial = "commercial steel";

std::optional<double> BoreFrom(const std::optional<double>& bore, const std::string& size) {
  if (bore) return bore;
  return size.empty() ? std::nullopt : NominalBore(size);
}

double Needed(std::optional<double> bore, std::string_view kind, const std::string& name) {
  if (bore) return *bore;
  throw NetworkError(Cat(kind, " ", Quoted(name), ": no bore and no known size."), name, "bore");
}

double WithinLining(double bore, double lining, std::string_view kind, const std::string& name) {
  const double left = bore - 2.0 * lining;
  if (left > 0.0) return left;
  throw NetworkError(Cat(kind, " ", Quoted(name), ": lining leaves nothing of the bore."), name,
                     "lining");
}

}  // namespace

double BoreOf(const Pipe& pipe) {
  const double bore = Needed(UnlinedBoreIfGiven(pipe), "pipe", pipe.name);
  return WithinLining(bore, pipe.lining, "pipe", pipe.name);
}
double BoreOf(const Valve& valve) {
  const double bore = Needed(UnlinedBoreIfGiven(valve), "valve", valve.name);
  return WithinLining(bore, valve.lining, "valve", valve.name);
}
double BoreOf(const CheckValve& check_valve) {
  return Needed(BoreIfGiven(check_valve), "check valve", check_valve.name);
}
double BoreOf(const Nozzle& nozzle) {
  return Needed(BoreFrom(nozzle.bore, nozzle.size), "nozzle", nozzle.name);
}
double BoreOf(const Regulator& regulator) {
  return Needed(BoreIfGiven(regulator), "regulator", regulator.name);
}
std::optional<double> BoreOf(const Restriction& restriction) {
  return BoreIfGiven(restriction);
}

std::optional<double> BoreIfGiven(const Valve& valve) {
  if (!UnlinedBoreIfGiven(valve)) return std::nullopt;
  return BoreOf(valve);
}
std::optional<double> BoreIfGiven(const CheckValve& check_valve) {
  return BoreFrom(check_valve.bore, check_valve.size);
}
std::optional<double> BoreIfGiven(const Restriction& restriction) {
  return BoreFrom(restriction.bore, restriction.size);
}
std::optional<double> BoreIfGiven(const Regulator& regulator) {
  return BoreFrom(regulator.bore, regulator.size);
}

std::optional<double> UnlinedBoreIfGiven(const Pipe& pipe) {
  if (pipe.bore) return pipe.bore;
  const auto size = FindPipeSize(pipe.size, ScheduleOf(pipe));
  return size ? std::optional(size->bore) : std::nullopt;
}
std::optional<double> UnlinedBoreIfGiven(const Valve& valve) {
  return BoreFrom(valve.bore, valve.size);
}

double RoughnessOf(const Pipe& pipe) {
  if (pipe.roughness) return *pipe.roughness;
  const std::string_view material =
      pipe.material.empty() ? kUsualMaterial : std::string_view(pipe.material);
  if (const auto known = RoughnessOf(material)) return *known;
  throw NetworkError(Cat("pipe ", Quoted(pipe.name), ": material ", Quoted(material),
                         " is unknown;", Suggest(material, MaterialNames())),
                     pipe.name, "material");
}

double NominalSizeOf(const Pipe& pipe) {
  if (!pipe.size.empty()) {
    if (const auto nominal = NominalInches(pipe.size)) return *nominal;
  }
  return Needed(UnlinedBoreIfGiven(pipe), "pipe", pipe.name);
}

std::string_view ScheduleOf(const Pipe& pipe) {
  return pipe.schedule.empty() ? kUsualSchedule : std::string_view(pipe.schedule);
}

}  // namespace handwheel
