@echo off
rem Double-click this to open kitloom's page in your browser.
rem
rem The first time it makes the environment that kitloom runs in, the folder .venv beside this one;
rem that takes some minutes and needs the network. It changes nothing else on this machine.
rem Not tried on Windows yet.

setlocal
title kitloom
set "PYTHON=.venv\Scripts\python.exe"
set "FOUND="

pushd "%~dp0.." || goto no_folder
if not exist pyproject.toml goto packed

"%PYTHON%" -c "import kitloom.page.server" >nul 2>nul && goto open

python -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul && set "FOUND=python"
py -3 -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul && set "FOUND=py -3"
if not defined FOUND goto no_python

echo The first start: kitloom makes its environment in "%CD%\.venv".
echo This takes some minutes and needs the network. Then the page opens in your browser.
%FOUND% -m venv .venv || goto no_environment
"%PYTHON%" -m pip install --quiet --quiet --disable-pip-version-check . || goto no_libraries

:open
"%PYTHON%" -m kitloom || goto broken
goto end

:no_folder
echo kitloom is not open. This folder cannot be opened.
goto end

:packed
echo kitloom is not open. Its other files are missing here: unpack the whole folder first.
goto end

:no_python
echo kitloom is not open. It needs Python 3.11 or newer, and there is none here.
echo Get it at https://www.python.org/downloads/ and double-click this file again.
goto end

:no_environment
echo kitloom is not open. The environment could not be made; the lines above say why.
echo Is there room on the disk, and may you write in this folder?
goto end

:no_libraries
echo kitloom is not open. What it needs could not be fetched; the lines above say why.
echo Are you online? Double-click this file again to go on.
goto end

:broken
echo kitloom is not open. The lines above say why.

:end
echo.
pause
