"""Makes the pages of the public headers; any warning is a failure.

usage: doxygen.py DOXYGEN PROJECT_FOLDER OUTPUT_FOLDER
"""
import pathlib
import subprocess
import sys

doxygen, project, output = sys.argv[1:]
pathlib.Path(output).mkdir(parents=True, exist_ok=True)
settings = (pathlib.Path(project) / ".doxygen").read_text() + f'\nOUTPUT_DIRECTORY = "{output}"\n'
done = subprocess.run([doxygen, "-"], input=settings, cwd=project, text=True, stderr=subprocess.PIPE)
print(done.stderr, end="")
page = pathlib.Path(output) / "html/error_8h.html"
text = page.read_text() if page.is_file() else ""
missing = [words for words in ("sx_exit_status", "a result cannot be written") if words not in text]
print("".join(f"the pages lack: {words}\n" for words in missing), end="")
sys.exit(bool(done.returncode or done.stderr or missing))
