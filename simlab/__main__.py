"""python -m simlab"""

from simlab.commands.cli import main

if __name__ == "__main__":  # a process that works beside the window imports this, too
    main()
