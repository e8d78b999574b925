"""The first page of the client with what it lacks: words of ours while there is no connection.

The stock client covers itself with a white "Working..." then, a constant of its compiled script that no setting
reaches, and nothing can be drawn through a connection that is gone. So the page that loads the client watches
its connection, and lays a sheet over it for as long as it is lost.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from flet_web import get_package_web_dir

SCRIPT = """
<script>
(() => {
  let sheet = null, line = null, looking = 0, answers = 0;
  const lost = () => {
    if (sheet || !document.body) return;
    sheet = document.createElement('div');
    sheet.id = 'no-connection';
    sheet.setAttribute('role', 'alert');
    sheet.style = 'position:fixed;inset:0;z-index:2147483647;padding:32px 24px;box-sizing:border-box;' +
      'background:#1B1F23;color:#F7F4EC;font:20px/1.5 sans-serif';
    sheet.innerHTML = '<h1 style="font-size:28px;margin:0 0 16px">No connection</h1>' +
      '<p>Every reading this screen showed as saved is saved.</p>' +
      '<p>The app looks for the shop\\'s machine by itself. When it is back, it says what was saved last and what ' +
      'was typed and not entered.</p>' +
      '<p>Is this phone in the shop\\'s Wi-Fi? Is the machine on?</p>';
    document.body.append(sheet);
    answers = 0;
    looking = setInterval(look, 3000);
  };
  // the client waits twice as long before each attempt; who answers twice is there, so the page starts anew
  const look = async () => {
    try { await fetch('version.json', {cache: 'no-store'}); } catch { answers = 0; return; }
    if (++answers > 1 && sheet) location.reload();
  };
  const back = () => { clearInterval(looking); sheet?.remove(); sheet = null; };
  const Plain = window.WebSocket;
  window.WebSocket = class extends Plain {
    constructor(...where) {
      super(...where);
      line = this;
      this.addEventListener('open', back);
      this.addEventListener('close', () => { if (line === this) lost(); });
    }
  };
  addEventListener('offline', lost);
  addEventListener('online', () => { if (line?.readyState === Plain.OPEN) back(); });
})();
</script>
"""


def first_page() -> TemporaryDirectory[str]:
    """A folder that holds the client's first page with SCRIPT in it, for as long as it is kept."""
    folder = TemporaryDirectory()
    page = Path(get_package_web_dir(), "index.html").read_text(encoding="utf-8")
    Path(folder.name, "index.html").write_text(page.replace("</head>", f"{SCRIPT}</head>"), encoding="utf-8")
    return folder
