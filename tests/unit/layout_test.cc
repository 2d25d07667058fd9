#include "text/layout.h"

#include <gtest/gtest.h>

namespace handwheel {
namespace {

TEST(ListInWords, PutsAndBeforeTheLast) {
  EXPECT_EQ(ListInWords({}), "");
  EXPECT_EQ(ListInWords({"a"}), "a");
  EXPECT_EQ(ListInWords({"a", "b"}), "a and b");
  EXPECT_EQ(ListInWords({"a", "b", "c"}), "a, b and c");
  EXPECT_EQ(ListInWords({"a", "b", "c"}, "or"), "a, b or c");
}

TEST(FirstInWords, CountsWhatItLeavesOut) {
  const std::vector<std::string> words = {"a", "b", "c", "d"};
  EXPECT_EQ(FirstInWords({}, 3), "");
  EXPECT_EQ(FirstInWords(words, 4), "a, b, c and d");
  EXPECT_EQ(FirstInWords(words, 3), "a, b and 2 more");
  EXPECT_EQ(FirstInWords(words, 2), "a and 3 more");
}

TEST(Joined, KeepsEmptyWords) {
  EXPECT_EQ(Joined({}, ", "), "");
  EXPECT_EQ(Joined({"a", "", "c"}, ", "), "a, , c");
}

TEST(Alignment, CountsCharactersNotBytes) {
  EXPECT_EQ(LeftAligned("m³/h", 6), "m³/h  ");
  EXPECT_EQ(RightAligned("m³/h", 6), "  m³/h");
  EXPECT_EQ(RightAligned("", 3), "   ");
}

TEST(Alignment, LeavesLongTextsWhole) {
  EXPECT_EQ(LeftAligned("header", 3), "header");
  EXPECT_EQ(RightAligned("header", 3), "header");
}

TEST(Wrapped, FillsLinesUpToTheWidth) {
  EXPECT_EQ(Wrapped("one two three", 7), "one two\nthree\n");
  EXPECT_EQ(Wrapped("one two three", 6), "one\ntwo\nthree\n");
  EXPECT_EQ(Wrapped("one two three", 13), "one two three\n");
}

TEST(Wrapped, CountsWhatLeadsTheLines) {
  EXPECT_EQ(Wrapped("one two three", 9, "- ", "  "), "- one two\n  three\n");
  EXPECT_EQ(Wrapped("one two three", 8, "- ", "  "), "- one\n  two\n  three\n");
}

TEST(Wrapped, CountsCharactersNotBytes) {
  EXPECT_EQ(Wrapped("größe für öl", 9), "größe für\nöl\n");
}

TEST(Wrapped, GivesALongWordItsOwnLine) {
  EXPECT_EQ(Wrapped("a incompressible b", 6, "- ", "  "), "- a\n  incompressible\n  b\n");
  EXPECT_EQ(Wrapped("incompressible", 6, "- ", "  "), "- incompressible\n");
}

TEST(Wrapped, EndsNoLineInBlanks) {
  EXPECT_EQ(Wrapped("", 9, "- "), "-\n");
  EXPECT_EQ(Wrapped("", 9), "\n");
  EXPECT_EQ(Wrapped("one two   ", 9), "one two\n");
  EXPECT_EQ(Wrapped("one   two", 5), "one\ntwo\n");
}

TEST(Wrapped, KeepsTheBlanksInsideALine) {
  EXPECT_EQ(Wrapped("tank  1 fills", 9), "tank  1\nfills\n");
}

TEST(Hanging, IndentsLaterLinesToTheEndOfTheFirstWords) {
  EXPECT_EQ(Hanging("one two three", 9, "1. "), "1. one\n   two\n   three\n");
  EXPECT_EQ(Hanging("one two", 6, "é: "), "é: one\n   two\n");
}

TEST(TextTable, MakesColumnsAsWideAsTheirWidestCell) {
  TextTable table({.columns = "lr", .indent = 2, .gap = 3});
  table.Add({"point", "head m"});
  table.Add({"mixer outlet", "6.25"});
  EXPECT_EQ(table.Text(),
            "  point          head m\n"
            "  mixer outlet     6.25\n");
}

TEST(TextTable, AlignsColumnsBeyondTheLettersAsTheLast) {
  TextTable table({.columns = "lr", .indent = 0, .gap = 1});
  table.Add({"a", "b", "c"});
  table.Add({"aa", "bb", "cc"});
  EXPECT_EQ(table.Text(), "a   b  c\naa bb cc\n");
}

TEST(TextTable, CountsCharactersNotBytes) {
  TextTable table({.columns = "lr", .indent = 0, .gap = 1});
  table.Add({"ρ", "m³"});
  table.Add({"rho", "5"});
  EXPECT_EQ(table.Text(), "ρ   m³\nrho  5\n");
}

TEST(TextTable, EndsNoLineInBlanks) {
  TextTable table({.columns = "lrl", .indent = 2, .gap = 2});
  table.Add({"name", "flow", ""});
  table.Add({"L-1", "", "shut in"});
  table.Add({"", "", ""});
  EXPECT_EQ(table.Text(),
            "  name  flow\n"
            "  L-1         shut in\n"
            "\n");
}

TEST(TextTable, TakesRowsOfDifferentLength) {
  TextTable table({.columns = "l", .indent = 0, .gap = 1});
  table.Add({"a"});
  table.Add({"bb", "cc", "dd"});
  table.Add({});
  table.Add({"e", "f"});
  EXPECT_EQ(table.Text(), "a\nbb cc dd\n\ne  f\n");
}

TEST(TextTable, LetsARemarkRunOn) {
  TextTable table({.columns = "lrl", .indent = 0, .gap = 2});
  table.Add({"state", "m3/h", "way", "driven by"});
  table.AddWithRemark({"stuck", "-", "no solution: a draw is cut off"});
  table.Add({"sound", "0", "none", "head"});
  EXPECT_EQ(table.Text(),
            "state  m3/h  way   driven by\n"
            "stuck     -  no solution: a draw is cut off\n"
            "sound     0  none  head\n");
}

TEST(TextTable, WithoutRowsIsEmpty) {
  EXPECT_EQ(TextTable({}).Text(), "");
}

}  // namespace
}  // namespace handwheel
