#include "handwheel/table.h"

#include <gtest/gtest.h>

#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/readings.h"

namespace handwheel {
namespace {

// Two tanks, a pump pushing back to the upper one, and a valve that drains a dead end.
Network Plant() {
  Network network;
  network.AddPart("vessel", {{"name", "upper"}, {"level", 5.0}, {"elevation", 3.0}});
  network.AddPart("vessel", {{"name", "lower"}, {"level", 2.0}});
  network.AddPart("junction", {{"name", "n1"}, {"draw", "1 m3/h"}});
  network.AddPart("junction", {{"name", "end"}});
  network.AddPart("pipe", {{"name", "L-1"},
                           {"from", "upper"},
                           {"to", "n1"},
                           {"length", "20 m"},
                           {"bore", "50 mm"},
                           {"roughness", "0.1 mm"}});
  network.AddPart(
      "pipe",
      {{"name", "L-2"}, {"from", "n1"}, {"to", "lower"}, {"length", "30 m"}, {"size", "DN50"}});
  network.AddPart("valve", {{"name", "HV-1"},
                            {"from", "n1"},
                            {"to", "end"},
                            {"kind", "gate"},
                            {"bore", "50 mm"},
                            {"opening", 0.0}});
  network.AddPart("pump", {{"name", "P-1"},
                           {"from", "lower"},
                           {"to", "upper"},
                           {"curve", Rows{{"0 m3/h", "20 m"}, {"20 m3/h", "2 m"}}}});
  return network;
}

const std::vector<double>& Numbers(const ResultTable& table, const std::string& heading) {
  for (const Column& column : table.columns) {
    if (column.Heading() == heading) return std::get<std::vector<double>>(column.values);
  }
  throw std::out_of_range(heading);
}

TEST(Table, EveryColumnHasAValuePerRow) {
  const Solution solution = Solve(Plant());
  for (const std::string& name : TableNames()) {
    const ResultTable table = Tabulate(solution, name);
    EXPECT_EQ(table.kind, name);
    for (const Column& column : table.columns) {
      std::visit([&](const auto& values) { EXPECT_EQ(values.size(), table.names.size()); },
                 column.values);
    }
  }
}

TEST(Table, EachKindFindsItsOwnResults) {
  const Solution solution = Solve(Plant());
  const ResultTable pumps = Tabulate(solution, "pumps");
  ASSERT_EQ(pumps.names, std::vector<std::string>{"P-1"});
  EXPECT_EQ(Numbers(pumps, "flow [m3/s]")[0], solution.Flow("P-1"));
  EXPECT_EQ(Numbers(pumps, "gain [m]")[0], -solution.Drop("P-1"));
  const ResultTable junctions = Tabulate(solution, "junctions");
  EXPECT_EQ(Numbers(junctions, "head [m]")[0], solution.Head("n1"));
  EXPECT_TRUE(std::isnan(Numbers(junctions, "head [m]")[1]));
  EXPECT_EQ(Numbers(Tabulate(solution, "valves"), "flow [m3/s]")[0], 0.0);
  EXPECT_EQ(Tabulate(solution, "components").names, solution.component_names());
  EXPECT_EQ(Numbers(Tabulate(solution, "components"), "flow [m3/s]"), solution.flow());
}

const std::vector<std::string>& Texts(const ResultTable& table, const std::string& heading) {
  for (const Column& column : table.columns) {
    if (column.Heading() == heading) return std::get<std::vector<std::string>>(column.values);
  }
  throw std::out_of_range(heading);
}

TEST(Table, HoldsTheReadings) {
  Network network = Plant();
  network.AddPart(
      "check_valve",
      {{"name", "NRV-1"}, {"from", "upper"}, {"to", "lower"}, {"kind", "swing"}, {"size", "DN50"}});
  network.AddPart("regulator", {{"name", "FL-1"},
                                {"from", "upper"},
                                {"to", "lower"},
                                {"kind", "flow-limiting"},
                                {"size", "DN50"},
                                {"set_flow", "5 m3/h"}});
  network.AddPart(
      "relief_valve",
      {{"name", "RV-1"}, {"from", "upper"}, {"set_pressure", "2 bar"}, {"kv", "10 m3/h"}});
  const Solution s = Solve(network);
  const Readings readings = TakeReadings(s);
  const ResultTable pipes = Tabulate(s, "pipes");
  EXPECT_EQ(Texts(pipes, "regime")[0], readings.pipes[0].regime);
  EXPECT_EQ(Numbers(pipes, "lowest absolute pressure [Pa]")[0], readings.pipes[0].lowest_pressure);
  const ResultTable valves = Tabulate(s, "valves");
  EXPECT_EQ(Numbers(valves, "turns in [-]")[0], readings.valves[0].turns_in);
  EXPECT_EQ(Numbers(valves, "Kv [m3/h]")[0], 0.0);
  EXPECT_EQ(Texts(Tabulate(s, "check valves"), "disc")[0], readings.check_valves[0].disc);
  EXPECT_EQ(Numbers(Tabulate(s, "pumps"), "NPSH available [m]")[0],
            readings.pumps[0].npsh_available);
  EXPECT_EQ(Numbers(Tabulate(s, "regulators"), "opening [-]")[0], readings.regulators[0].opening);
  EXPECT_EQ(Texts(Tabulate(s, "regulators"), "state")[0], "limiting");
  EXPECT_EQ(Numbers(Tabulate(s, "relief_valves"), "lift [-]")[0], 0.0);
  EXPECT_EQ(Tabulate(s, "components").names, s.component_names());
}

TEST(Table, LossIsTheDropAsAPressure) {
  const Solution solution = Solve(Plant());
  const ResultTable pipes = Tabulate(solution, "pipes");
  const double weight = solution.liquid().density * kStandardGravity;
  for (std::size_t i = 0; i < pipes.names.size(); ++i) {
    EXPECT_DOUBLE_EQ(Numbers(pipes, "loss [Pa]")[i], weight * solution.drop()[i]);
  }
}

TEST(Table, UnknownNamesAreRefusedWithASuggestion) {
  const Solution solution = Solve(Plant());
  EXPECT_EQ(Tabulate(solution, "check_valves").kind, "check valves");
  try {
    Tabulate(solution, "pips");
    FAIL();
  } catch (const NetworkError& error) {
    EXPECT_NE(std::string(error.what()).find("\"pipes\""), std::string::npos) << error.what();
  }
}

TEST(SolutionData, MakesAnEqualSolutionAgain) {
  const Solution s = Solve(Plant());
  SolutionData data{.network = s.network(),
                    .liquid = s.liquid(),
                    .summary = s.summary(),
                    .head = s.head(),
                    .pressure = s.pressure(),
                    .outflow = s.outflow(),
                    .shut_in = s.shut_in(),
                    .flow = s.flow(),
                    .velocity = s.velocity(),
                    .drop = s.drop(),
                    .leak = s.leak(),
                    .state = s.state(),
                    .loops = s.loops(),
                    .loop_corrections = s.loop_corrections()};
  const Solution again = Solution::FromData(data);
  EXPECT_EQ(again.Report(), s.Report());
  EXPECT_EQ(again.component_names(), s.component_names());
  EXPECT_EQ(again.flow(), s.flow());
  data.flow.pop_back();
  EXPECT_THROW(Solution::FromData(data), NetworkError);
}

}  // namespace
}  // namespace handwheel
