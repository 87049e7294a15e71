"""A running leanwright server of a test's own, asked with the standard library."""

import contextlib
import json
import subprocess
import tempfile
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


class Server:
    """The server at `url`."""

    def __init__(self, url):
        self.url = url

    def get(self, path, accept="application/json"):
        """Body and media type of a resource."""
        request = urllib.request.Request(self.url + path, headers={"Accept": accept})
        with urllib.request.urlopen(request, timeout=120) as answer:
            return answer.read(), answer.headers.get_content_type()

    def json(self, path):
        """A JSON resource."""
        return json.loads(self.get(path)[0])

    def post(self, path, document):
        """Posts a JSON document and gives the answer."""
        body = json.dumps(document).encode()
        headers = {"Content-Type": "application/json"}
        request = urllib.request.Request(self.url + path, body, headers)
        with urllib.request.urlopen(request, timeout=120) as answer:
            return json.loads(answer.read())

    def search(self, job):
        """Submits a job, waits until it is done, gives its id."""
        id = self.post("/v1/jobs", job)["id"]
        while (state := self.json(f"/v1/jobs/{id}")["state"]) != "done":
            if state in ("failed", "cancelled"):
                raise SystemExit(f"the job is {state}")
            time.sleep(0.2)
        return id


@contextlib.contextmanager
def server(program, workers=1):
    """Starts the program over a store of its own and stops it afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        command = [program, "serve", "--json", "--listen", "127.0.0.1:0"]
        command += ["--store", f"{folder}/store.sqlite", "--workers", str(workers)]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            yield Server(json.loads(process.stdout.readline())["listening"])
        finally:
            process.terminate()
            process.wait(20)


def demo(name, **search):
    """A demo job with another search."""
    job = json.loads((ROOT / "demo-jobs" / name).read_text())
    job["search"].update(search)
    return job
