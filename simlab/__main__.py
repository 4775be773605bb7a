"""python -m simlab"""

from simlab.commands.cli import main

main()
