"""A private environment for a comparison, made beside it on its first run."""
import pathlib
import subprocess
import sys
import venv


def inside(script, folder, packages):
    """Starts a script again inside an environment that holds some packages of the registry."""
    environment = pathlib.Path(script).parent / folder
    python = environment / "bin" / "python"
    if not python.exists():
        venv.create(environment, with_pip=True)
        subprocess.run([python, "-m", "pip", "-q", "install", *packages], check=True)
    if pathlib.Path(sys.prefix).resolve() != environment.resolve():
        sys.exit(subprocess.run([python, script, *sys.argv[1:]]).returncode)
