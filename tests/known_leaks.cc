// What the leak sanitizer is to pass over: Graphviz 2.42 keeps some of what its layout allocates.
// The function is the sanitizer's own hook; nothing else calls it.

extern "C" const char* __lsan_default_suppressions();  // NOLINT: its name is the sanitizer's

extern "C" const char* __lsan_default_suppressions() {
  return "leak:libgvc.so\nleak:libcgraph.so\n";
}
