#include "handwheel/diagram.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <thread>

#include "drawing/canvas.h"
#include "drawing/runs.h"
#include "drawing/text_size.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"

namespace handwheel {
namespace {

std::string ErrorOf(const std::function<void()>& act) {
  try {
    act();
  } catch (const Error& error) {
    return error.what();
  }
  return "no error";
}

// --- Runs ----------------------------------------------------------------------------------------

RunRequest Request(int vessels, int points, std::vector<Ends> components) {
  RunRequest request{vessels, points, std::move(components), {}, {}};
  request.pinned_point.assign(static_cast<std::size_t>(points), false);
  request.pinned_component.assign(request.components.size(), false);
  return request;
}

std::vector<int> PartsOf(const Run& run) {
  std::vector<int> parts;
  for (const RunPart& part : run.parts) parts.push_back(part.component);
  return parts;
}

TEST(Runs, ChainPartsThatMeetAtJunctionsOfTwo) {
  // vessel 0 - 2 - 3 - vessel 1, listed out of order.
  const RunGraph graph = FindRuns(Request(2, 4, {{2, 3}, {3, 1}, {0, 2}}));
  ASSERT_EQ(graph.runs.size(), 1u);
  EXPECT_EQ(PartsOf(graph.runs[0]), (std::vector<int>{2, 0, 1}));
  EXPECT_EQ(graph.runs[0].inner_points, (std::vector<int>{2, 3}));
  EXPECT_EQ(graph.runs[0].left, 0);
  EXPECT_EQ(graph.runs[0].right, 1);
  EXPECT_EQ(graph.hubs, (std::vector<int>{0, 1}));
}

TEST(Runs, KeepTheSenseOfPartsThatStandAgainstTheRest) {
  const RunGraph graph = FindRuns(Request(2, 4, {{0, 2}, {3, 2}, {3, 1}}));
  ASSERT_EQ(graph.runs.size(), 1u);
  EXPECT_EQ(graph.runs[0].left, 0);
  EXPECT_FALSE(graph.runs[0].parts[0].backwards);
  EXPECT_TRUE(graph.runs[0].parts[1].backwards);
  EXPECT_FALSE(graph.runs[0].parts[2].backwards);
}

TEST(Runs, EndAtJunctionsOfThreeAndAtVesselsOfTwo) {
  const RunGraph graph = FindRuns(Request(1, 4, {{0, 1}, {1, 2}, {1, 3}, {3, 0}}));
  EXPECT_EQ(graph.runs.size(), 3u);
  EXPECT_EQ(graph.hubs, (std::vector<int>{0, 1, 2}));
}

TEST(Runs, ThatReturnAreTurnedSoThatTheRestRunsToTheRight) {
  // Out by component 0, to 1; two ways on to 2; and back to the vessel.
  const RunGraph graph = FindRuns(Request(1, 3, {{0, 1}, {1, 2}, {1, 2}, {2, 0}}));
  ASSERT_EQ(graph.runs.size(), 4u);
  EXPECT_EQ(graph.runs[3].left, 0);
  EXPECT_EQ(graph.runs[3].right, 2);
  EXPECT_TRUE(graph.runs[3].parts[0].backwards);
}

TEST(Runs, EndInTheOpenAir) {
  const RunGraph graph = FindRuns(Request(1, 2, {{0, 1}, {1, kOpenAir}}));
  ASSERT_EQ(graph.runs.size(), 1u);
  EXPECT_EQ(graph.runs[0].right, kOpenAir);
}

TEST(Runs, ARingWithoutAHubIsOpenedAtOneOfItsPoints) {
  const RunGraph graph = FindRuns(Request(0, 3, {{0, 1}, {1, 2}, {2, 0}}));
  ASSERT_EQ(graph.runs.size(), 1u);
  EXPECT_EQ(graph.runs[0].left, graph.runs[0].right);
  EXPECT_EQ(graph.hubs.size(), 1u);
}

TEST(Runs, HoldOnePinAtMostAndEndAtPinnedPoints) {
  RunRequest request = Request(2, 5, {{0, 2}, {2, 3}, {3, 4}, {4, 1}});
  request.pinned_component = {true, false, true, false};
  RunGraph graph = FindRuns(request);
  ASSERT_EQ(graph.runs.size(), 2u);
  EXPECT_EQ(PartsOf(graph.runs[0]), (std::vector<int>{0, 1}));
  request.pinned_component = {false, false, false, false};
  request.pinned_point[3] = true;
  graph = FindRuns(request);
  ASSERT_EQ(graph.runs.size(), 2u);
  EXPECT_EQ(graph.runs[0].right, 3);
}

// --- Text ----------------------------------------------------------------------------------------

TEST(EscapedXml, EscapesWhatIsSpecialAndReplacesWhatXmlCannotHold) {
  EXPECT_EQ(EscapedXml("a<b>&\"'"), "a&lt;b&gt;&amp;&quot;&#39;");
  EXPECT_EQ(EscapedXml("a\tb\nc\r"), "a&#9;b&#10;c&#13;");
  EXPECT_EQ(EscapedXml(std::string("\x01\0z", 3)), "\xEF\xBF\xBD\xEF\xBF\xBDz");
  EXPECT_EQ(EscapedXml("m³ \xFF \xEF\xBF\xBE"), "m³ \xEF\xBF\xBD \xEF\xBF\xBD");
}

TEST(NameLines, BreakLongNamesAtTheirMiddleAndCutEndlessOnes) {
  EXPECT_EQ(NameLines("HV-3"), (std::vector<std::string>{"HV-3"}));
  EXPECT_EQ(NameLines("scrubber head tank"), (std::vector<std::string>{"scrubber", "head tank"}));
  const auto cut = NameLines(std::string(300, 'x'));
  ASSERT_EQ(cut.size(), 1u);
  EXPECT_EQ(cut[0], std::string(23, 'x') + "…");
}

// --- Diagrams ------------------------------------------------------------------------------------

std::string NetworkFile(const std::string& name) {
  return std::string(HANDWHEEL_SOURCE_DIR) + "/networks/" + name;
}

std::vector<std::string> ShippedNetworks() {
  std::vector<std::string> files;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(HANDWHEEL_SOURCE_DIR) + "/networks")) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path().string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

// Bodies of letters may touch a neighbour's box by this much [mm].
constexpr double kTouch = 0.05;

std::vector<std::string> Collisions(const std::vector<DiagramText>& texts) {
  std::vector<std::string> found;
  for (std::size_t i = 0; i < texts.size(); ++i) {
    for (std::size_t j = i + 1; j < texts.size(); ++j) {
      const DiagramText &a = texts[i], &b = texts[j];
      const double x = std::min(a.right, b.right) - std::max(a.left, b.left);
      const double y = std::min(a.bottom, b.bottom) - std::max(a.top, b.top);
      if (x > kTouch && y > kTouch) found.push_back("\"" + a.text + "\" and \"" + b.text + "\"");
    }
  }
  return found;
}

TEST(Diagram, LabelsOfTheShippedPlantsCollideInNoCase) {
  const std::vector<std::string> files = ShippedNetworks();
  ASSERT_GE(files.size(), 4u);
  for (const std::string& file : files) {
    const Network network = LoadNetwork(file);
    for (std::size_t c = 0; c <= network.cases.size(); ++c) {
      Network changed = network;
      if (c > 0) changed.Apply(network.cases[c - 1].set);
      const Diagram diagram(Solve(changed));
      EXPECT_EQ(Collisions(diagram.Texts(drawing::LayOut(diagram.graph()))),
                std::vector<std::string>{})
          << file << ", case " << c;
    }
  }
}

TEST(Diagram, PlacesAreThoseOfTheNetworkInEveryCase) {
  Network network = LoadNetwork(NetworkFile("caustic_transfer.toml"));
  const Diagram diagram(Solve(network));
  network.ApplyCase("P-1 tripped, NRV-1 stuck open");
  const Diagram tripped(Solve(network));
  ASSERT_EQ(diagram.graph().boxes.size(), tripped.graph().boxes.size());
  for (std::size_t b = 0; b < diagram.graph().boxes.size(); ++b) {
    EXPECT_EQ(diagram.graph().boxes[b].name, tripped.graph().boxes[b].name);
  }
}

TEST(Diagram, IsTheSameBytesEveryTimeAndFromSeveralThreads) {
  const Solution solution = Solve(LoadNetwork(NetworkFile("cooling_loop.toml")));
  const std::string expected = drawing::DrawSvg(solution);
  std::vector<std::string> drawn(4);
  std::vector<std::thread> threads;
  for (std::string& svg : drawn) {
    threads.emplace_back([&] { svg = drawing::DrawSvg(solution); });
  }
  for (std::thread& thread : threads) thread.join();
  for (const std::string& svg : drawn) EXPECT_EQ(svg, expected);
}

TEST(Diagram, TakesThePlacementOfAnyLayout) {
  const Diagram diagram(LoadNetwork(NetworkFile("caustic_transfer.toml")));
  DiagramPlacement stacked;
  double y = 0.0;
  for (const DiagramBox& box : diagram.graph().boxes) {
    stacked.boxes.push_back({0.0, y, box.height});
    y += box.height;
  }
  for (std::size_t w = 0; w < diagram.graph().wires.size(); ++w) {
    stacked.wires.push_back({{0.0, 0.0}, {1.0, 0.0}});
  }
  EXPECT_TRUE(Collisions(diagram.Texts(stacked)).empty());
  stacked.wires.pop_back();
  EXPECT_NE(ErrorOf([&] { diagram.Svg(stacked); }).find("wires; expected"), std::string::npos);
}

// --- Pins ----------------------------------------------------------------------------------------

TEST(DiagramPins, PutPartsWhereTheySayAndTheRestOutOfTheirWay) {
  Network network = LoadNetwork(NetworkFile("caustic_transfer.toml"));
  network.Apply("header.x", std::string("200 mm"));
  network.Apply("header.y", std::string("150 mm"));
  network.Apply("L-4.x", std::string("60 mm"));
  network.Apply("L-4.y", std::string("240 mm"));
  const Diagram diagram(network);
  const DiagramPlacement placement = drawing::LayOut(diagram.graph());
  const auto& boxes = diagram.graph().boxes;
  int pinned = 0;
  for (std::size_t b = 0; b < boxes.size(); ++b) {
    if (boxes[b].pin) {
      ++pinned;
      EXPECT_DOUBLE_EQ(placement.boxes[b].x, boxes[b].pin->x);
      if (!boxes[b].stretches) {
        EXPECT_DOUBLE_EQ(placement.boxes[b].y, boxes[b].pin->y);
      }
    }
    for (std::size_t c = b + 1; c < boxes.size(); ++c) {
      const DiagramPlace &p = placement.boxes[b], &q = placement.boxes[c];
      const bool apart = p.x + boxes[b].width <= q.x || q.x + boxes[c].width <= p.x ||
                         p.y + p.height <= q.y || q.y + q.height <= p.y;
      EXPECT_TRUE(apart) << boxes[b].name << " and " << boxes[c].name;
    }
  }
  EXPECT_EQ(pinned, 2);
}

TEST(DiagramPins, ChangeNoResultAndAreKeptInFiles) {
  Network network = LoadNetwork(NetworkFile("caustic_transfer.toml"));
  const std::vector<double> flow = Solve(network).flow();
  network.Apply("HV-3.x", std::string("120 mm"));
  network.Apply("HV-3.y", std::string("-40 mm"));
  EXPECT_EQ(Solve(network).flow(), flow);
  const std::string text = FormatNetwork(network);
  EXPECT_NE(text.find("x = \"120 mm\"\ny = \"-40 mm\""), std::string::npos);
  EXPECT_EQ(ParseNetwork(text), network);
}

TEST(DiagramPins, AreGivenInPairsAndApart) {
  Network network = LoadNetwork(NetworkFile("caustic_transfer.toml"));
  network.Apply("HV-3.x", 0.1);
  EXPECT_EQ(ErrorOf([&] { Diagram diagram(network); }),
            "\"HV-3\": x and y place it on diagrams together; y is not given.");
  network.Apply("HV-3.y", 0.1);
  network.Apply("HV-4.x", 0.101);
  network.Apply("HV-4.y", 0.1);
  EXPECT_EQ(
      ErrorOf([&] { drawing::DrawSvg(network); }),
      "\"HV-3\" and \"HV-4\" are pinned so near that their labels collide; move one of them.");
}

// --- Errors --------------------------------------------------------------------------------------

TEST(DiagramErrors, NameTheOptionAndWhatIsAllowed) {
  const Network network = LoadNetwork(NetworkFile("caustic_transfer.toml"));
  const std::string unit =
      ErrorOf([&] { Diagram diagram(network, DiagramOptions{.flow_unit = "bar"}); });
  EXPECT_EQ(unit.rfind("flow_unit: ", 0), 0u) << unit;
  const std::string symbol =
      ErrorOf([&] { Diagram diagram(network, DiagramOptions{.check_valve = "arow"}); });
  EXPECT_EQ(symbol, "check_valve \"arow\" is no symbol; did you mean \"arrow\"?");
  EXPECT_EQ(ErrorOf([] { Diagram diagram{Network{}}; }),
            "the network is empty; a diagram needs a point at least.");
  EXPECT_EQ(ErrorOf([] { Diagram diagram{Solution{}}; }),
            "the network is empty; a diagram needs a point at least.");
}

TEST(DiagramErrors, UnwritableFilesAreLeftAsTheyWere) {
  const auto folder = std::filesystem::temp_directory_path() / "handwheel_diagram_test";
  std::filesystem::create_directories(folder);
  const std::string directory = folder.string();
  EXPECT_NE(ErrorOf([&] { drawing::SaveSvg("<svg/>", directory); }).find("it is a directory"),
            std::string::npos);
  EXPECT_NE(ErrorOf([&] {
              drawing::SaveSvg("<svg/>", directory + "/none/out.svg");
            }).find("cannot be written"),
            std::string::npos);
  EXPECT_TRUE(std::filesystem::is_empty(folder));
  drawing::SaveSvg("<svg/>", directory + "/out.svg");
  std::ifstream written(directory + "/out.svg");
  EXPECT_EQ(std::string(std::istreambuf_iterator<char>(written), {}), "<svg/>");
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace handwheel
