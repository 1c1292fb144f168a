// Comfort only: the page reads the same without it.
(function () {
  var all = document.querySelectorAll("details.scenario");
  function set(open) { all.forEach(function (d) { d.open = open; }); }
  function reveal() {
    var d = location.hash && document.getElementById(location.hash.slice(1));
    if (d && d.tagName === "DETAILS") { d.open = true; d.scrollIntoView(); }
  }
  var bar = document.getElementById("comfort");
  bar.hidden = false;
  document.getElementById("open-all").addEventListener("click", function () { set(true); });
  document.getElementById("close-all").addEventListener("click", function () { set(false); });
  addEventListener("hashchange", reveal);
  addEventListener("beforeprint", function () { set(true); });
  reveal();
})();
